import { may } from '@lintel/contract';
import type { Role } from '@lintel/contract';
import { palette } from '@lintel/ui';
import { Box, Typography } from '@mui/material';
import { usePermissions } from 'react-admin';
import { Link, useLocation } from 'react-router';
import { entryShown, menu } from './menu.js';

const entryStyle = {
  display: 'block',
  padding: '7px 14px 7px 17px',
  color: palette.frostDeep,
  textDecoration: 'none',
  fontWeight: 550,
  borderLeft: '4px solid transparent',
  '&:hover': { background: palette.inkSoft },
  '&:focus-visible': { outline: `3px solid ${palette.frostDeep}`, outlineOffset: -3 },
  '&[aria-current="page"]': { background: palette.inkSoft, borderLeftColor: palette.frost, color: palette.paper, fontWeight: 700 },
} as const;

/** The way through the house; shows only what the account may read. */
export function Rail({ onGo }: { onGo?: () => void }) {
  const { permissions: role } = usePermissions<Role>();
  const { pathname } = useLocation();
  if (!role) return null;
  const current = (to: string) => (to === '/' ? pathname === '/' : pathname === to || pathname.startsWith(`${to}/`));
  return (
    <Box component="nav" aria-label="Main" sx={{ paddingBlock: 1 }}>
      {menu.map(({ title, entries }) => {
        const shown = entries.filter((entry) => entryShown(entry, role, may));
        if (shown.length === 0) return null;
        return (
          <Box key={title} sx={{ marginBottom: 1.5 }}>
            {title ? <Typography sx={{ color: '#9db4c0', fontSize: '0.78rem', padding: '6px 21px 3px' }}>{title}</Typography> : null}
            {shown.map(({ to, word }) => (
              <Box key={to} component={Link} to={to} onClick={onGo} aria-current={current(to) ? 'page' : undefined} sx={entryStyle}>
                {word}
              </Box>
            ))}
          </Box>
        );
      })}
    </Box>
  );
}
