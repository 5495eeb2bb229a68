import { palette } from '@lintel/ui';
import { Box, Button, Drawer, IconButton, Menu, MenuItem, Typography, useMediaQuery } from '@mui/material';
import type { Theme } from '@mui/material';
import MenuIcon from '@mui/icons-material/Menu';
import { Suspense, useState } from 'react';
import type { MouseEvent, ReactNode } from 'react';
import { useLogout } from 'react-admin';
import { Link, useLocation } from 'react-router';
import { useAccount } from '../access/hooks.js';
import { Waiting } from '../common/faces.js';
import { roleWords } from '../common/words.js';
import { OfflineBand } from './OfflineBand.js';
import { PageGuard } from './PageGuard.js';
import { Rail } from './Rail.js';
import { Sign } from './Sign.js';

const railWidth = 204;

/** The frame of every page: the rail at the left, from a tablet down behind a button, and who is signed in. */
export function HouseLayout({ children }: { children?: ReactNode }) {
  const narrow = useMediaQuery((theme: Theme) => theme.breakpoints.down('lg'));
  const [open, setOpen] = useState(false);
  const { pathname } = useLocation();
  return (
    <Box sx={{ minHeight: '100vh', display: 'flex', flexDirection: { xs: 'column', lg: 'row' } }}>
      <Box component="a" href="#main-content" onClick={skip} sx={skipStyle}>
        Skip to the page
      </Box>
      {narrow ? <TopBar onMenu={() => setOpen(true)} /> : null}
      {narrow ? (
        <Drawer open={open} onClose={() => setOpen(false)} slotProps={{ paper: { sx: { background: palette.ink, width: 260 } } }}>
          <Name />
          <Rail onGo={() => setOpen(false)} />
          <Who />
        </Drawer>
      ) : (
        <Box component="header" sx={{ width: railWidth, flex: 'none', background: palette.ink, position: 'sticky', top: 0, height: '100vh', overflowY: 'auto', display: 'flex', flexDirection: 'column' }}>
          <Name />
          <Rail />
          <Box sx={{ flex: 1 }} />
          <Who />
        </Box>
      )}
      <Box component="main" id="main-content" tabIndex={-1} sx={{ flex: 1, minWidth: 0, outline: 'none' }}>
        <OfflineBand />
        <Box sx={{ padding: { xs: '14px 12px 40px', md: '20px 26px 48px' }, maxWidth: 1560 }}>
          <PageGuard key={pathname}>
            <Suspense fallback={<Waiting what="the page" />}>{children}</Suspense>
          </PageGuard>
        </Box>
      </Box>
    </Box>
  );
}

function skip(event: MouseEvent) {
  event.preventDefault();
  document.getElementById('main-content')?.focus();
}

const skipStyle = {
  position: 'absolute',
  left: -9999,
  zIndex: 2000,
  padding: '8px 14px',
  background: palette.paper,
  color: palette.ink,
  '&:focus': { left: 8, top: 8 },
} as const;

function Name() {
  return (
    <Box component={Link} to="/" sx={{ display: 'flex', alignItems: 'center', gap: 1.2, padding: '16px 16px 10px', textDecoration: 'none', color: palette.paper }}>
      <Sign />
      <Typography component="span" sx={{ fontSize: '1.25rem', fontWeight: 750, fontStretch: '118%' }}>
        Lintel
      </Typography>
    </Box>
  );
}

function TopBar({ onMenu }: { onMenu: () => void }) {
  return (
    <Box component="header" sx={{ display: 'flex', alignItems: 'center', background: palette.ink, color: palette.paper, paddingRight: 1, position: 'sticky', top: 0, zIndex: 1100 }}>
      <IconButton onClick={onMenu} aria-label="Open the menu" sx={{ color: palette.paper, padding: 1.5 }}>
        <MenuIcon />
      </IconButton>
      <Sign size={24} />
      <Typography component="span" sx={{ fontSize: '1.1rem', fontWeight: 750, fontStretch: '118%', marginLeft: 1 }}>
        Lintel
      </Typography>
    </Box>
  );
}

function Who() {
  const account = useAccount();
  const logout = useLogout();
  const [anchor, setAnchor] = useState<HTMLElement | null>(null);
  if (!account) return null;
  return (
    <Box sx={{ borderTop: `1px solid ${palette.inkSoft}`, padding: '8px 8px 12px' }}>
      <Button
        fullWidth
        onClick={(event) => setAnchor(event.currentTarget)}
        aria-haspopup="menu"
        sx={{ color: palette.frostDeep, justifyContent: 'flex-start', textAlign: 'left', lineHeight: 1.3, '&:hover': { background: palette.inkSoft } }}
      >
        <span>
          {account.name}
          <br />
          <Box component="span" sx={{ color: '#9db4c0', fontWeight: 450, fontSize: '0.82rem' }}>
            {roleWords[account.role]}, {account.companyName}
          </Box>
        </span>
      </Button>
      <Menu anchorEl={anchor} open={anchor !== null} onClose={() => setAnchor(null)}>
        <MenuItem disabled>{account.email}</MenuItem>
        <MenuItem onClick={() => void logout()}>Sign out</MenuItem>
      </Menu>
    </Box>
  );
}
