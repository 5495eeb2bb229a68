import { palette } from '@lintel/ui';
import { defaultTheme } from 'react-admin';
import type { RaThemeOptions } from 'react-admin';

const hairline = `1px solid ${palette.line}`;
const family = '"Archivo Variable", system-ui, "Segoe UI", "Helvetica Neue", sans-serif';
/** Headings are set wider, as on a plate at a door. */
const plate = { fontFamily: family, fontStretch: '112%', letterSpacing: '-0.005em' };

/** Calm and dense: square corners, hairlines instead of shadows, one signal colour for what must be acted on. */
export const theme: RaThemeOptions = {
  ...defaultTheme,
  palette: {
    mode: 'light',
    primary: { main: palette.ink, light: palette.inkSoft, contrastText: palette.paper },
    secondary: { main: palette.ice, contrastText: palette.paper },
    error: { main: palette.signal, contrastText: palette.paper },
    warning: { main: palette.signal, contrastText: palette.paper },
    info: { main: palette.ice, contrastText: palette.paper },
    success: { main: palette.ice, contrastText: palette.paper },
    text: { primary: palette.ink, secondary: palette.slate },
    divider: palette.line,
    background: { default: palette.frost, paper: palette.paper },
  },
  shape: { borderRadius: 3 },
  typography: {
    fontFamily: family,
    fontSize: 13.5,
    h1: { ...plate, fontSize: '1.65rem', fontWeight: 700, lineHeight: 1.2 },
    h2: { ...plate, fontSize: '1.08rem', fontWeight: 700, lineHeight: 1.3 },
    h3: { ...plate, fontSize: '0.95rem', fontWeight: 700, lineHeight: 1.3 },
    h6: { ...plate, fontSize: '1rem', fontWeight: 700 },
    button: { textTransform: 'none', fontWeight: 650, letterSpacing: 0 },
    overline: { textTransform: 'none', letterSpacing: 0, fontSize: '0.8rem', lineHeight: 1.4 },
  },
  components: {
    ...defaultTheme.components,
    MuiCssBaseline: {
      styleOverrides: {
        body: { fontVariantNumeric: 'tabular-nums', WebkitFontSmoothing: 'antialiased' },
        a: { color: palette.ice, textUnderlineOffset: '3px' },
        'a:focus-visible': { outline: `3px solid ${palette.ice}`, outlineOffset: 2 },
        '.lintel-week:focus-visible': { outline: `3px solid ${palette.ink}`, outlineOffset: 1 },
        '.lintel-week:hover': { background: palette.frostDeep },
        '@media (prefers-reduced-motion: reduce)': { '*': { transition: 'none !important', animation: 'none !important' } },
      },
    },
    MuiButtonBase: { defaultProps: { disableRipple: true } },
    MuiButton: {
      defaultProps: { disableElevation: true },
      styleOverrides: {
        root: { borderRadius: 3, minHeight: 34, '&.Mui-focusVisible': { outline: `3px solid ${palette.ice}`, outlineOffset: 2 } },
        outlined: { borderColor: palette.slateSoft },
        sizeSmall: { minHeight: 28, paddingBlock: 2 },
      },
    },
    MuiPaper: { defaultProps: { elevation: 0 }, styleOverrides: { root: { backgroundImage: 'none' }, outlined: { border: hairline } } },
    MuiMenu: { styleOverrides: { paper: { border: hairline, boxShadow: '0 6px 22px rgb(20 35 46 / 0.18)' } } },
    MuiAutocomplete: { defaultProps: { fullWidth: true }, styleOverrides: { paper: { border: hairline, boxShadow: '0 6px 22px rgb(20 35 46 / 0.18)' } } },
    MuiDialog: { styleOverrides: { paper: { border: `2px solid ${palette.ink}`, borderRadius: 4 } } },
    MuiTextField: { defaultProps: { variant: 'outlined', size: 'small', margin: 'dense', fullWidth: true } },
    MuiFormControl: { defaultProps: { variant: 'outlined', size: 'small', margin: 'dense', fullWidth: true } },
    MuiOutlinedInput: {
      styleOverrides: { root: { background: palette.paper }, notchedOutline: { borderColor: palette.slateSoft } },
    },
    MuiFormHelperText: { styleOverrides: { root: { marginTop: 2, marginBottom: 2, lineHeight: 1.3, fontSize: '0.8rem' } } },
    MuiInputLabel: { styleOverrides: { root: { color: palette.slate } } },
    MuiTableCell: {
      styleOverrides: {
        root: { borderBottom: `1px solid ${palette.lineSoft}`, padding: '6px 12px' },
        head: { fontWeight: 650, color: palette.inkSoft, background: palette.frostDeep, whiteSpace: 'nowrap', lineHeight: 1.3 },
      },
    },
    MuiSnackbarContent: { styleOverrides: { root: { background: palette.ink, color: palette.paper } } },
    MuiTooltip: { styleOverrides: { tooltip: { background: palette.ink, fontSize: '0.82rem' } } },
    MuiLink: { styleOverrides: { root: { color: palette.ice, fontWeight: 600, textUnderlineOffset: 2 } } },
    MuiAlert: {
      styleOverrides: {
        root: {
          '&.MuiAlert-colorError, &.MuiAlert-colorWarning': { background: palette.signalSoft, color: palette.signalDeep, border: `1px solid ${palette.signal}` },
          '&.MuiAlert-colorInfo, &.MuiAlert-colorSuccess': { background: palette.iceSoft, color: palette.ink, border: hairline },
        },
      },
    },
    MuiLinearProgress: { styleOverrides: { root: { height: 8, borderRadius: 2, background: palette.frostDeep } } },
  },
};
