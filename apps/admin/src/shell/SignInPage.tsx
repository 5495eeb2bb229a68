import { cautionRank, palette } from '@lintel/ui';
import { Alert, Box, Button, TextField, Typography } from '@mui/material';
import { useState } from 'react';
import type { FormEvent } from 'react';
import { useLogin } from 'react-admin';
import { refusalOf } from '../access/http.js';
import { Sign } from './Sign.js';

/** Sign-in: a doorway with its lintel, the form in the opening. */
export function SignInPage() {
  const login = useLogin();
  const [refusal, setRefusal] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const submit = (event: FormEvent<HTMLFormElement>) => {
    event.preventDefault();
    const form = new FormData(event.currentTarget);
    setBusy(true);
    setRefusal(null);
    login({ email: form.get('email'), password: form.get('password') })
      .catch((error: unknown) => setRefusal(refusalOf(error).detail))
      .finally(() => setBusy(false));
  };
  return (
    <Box component="main" sx={{ minHeight: '100vh', display: 'grid', placeItems: 'center', background: palette.frostDeep, padding: 2 }}>
      <Box sx={{ width: '100%', maxWidth: 440 }}>
        <Box sx={{ background: palette.ink, color: palette.paper, padding: '22px 28px', marginInline: { xs: 0, sm: '-26px' }, display: 'flex', alignItems: 'center', gap: 1.6 }}>
          <Sign size={36} />
          <Typography component="h1" sx={{ fontSize: '1.7rem', fontWeight: 750, fontStretch: '118%', lineHeight: 1 }}>
            Lintel
          </Typography>
        </Box>
        <Box sx={{ borderInline: { xs: 0, sm: `14px solid ${palette.slate}` }, background: palette.paper, padding: '26px 28px 24px' }}>
          <Typography component="h2" variant="h2" sx={{ marginBottom: 1.5 }}>
            Sign in
          </Typography>
          <form onSubmit={submit}>
            <TextField name="email" label="E-mail" type="email" autoComplete="username" required margin="dense" />
            <TextField name="password" label="Password" type="password" autoComplete="current-password" required margin="dense" />
            {refusal ? (
              <Alert severity="error" sx={{ marginTop: 1 }}>
                {refusal}
              </Alert>
            ) : null}
            <Button type="submit" variant="contained" fullWidth disabled={busy} sx={{ marginTop: 2, minHeight: 42 }}>
              {busy ? 'Signing in…' : 'Sign in'}
            </Button>
          </form>
        </Box>
        <Box sx={{ height: 12, marginInline: { xs: 0, sm: '14px' }, background: `repeating-linear-gradient(135deg, ${palette.ink} 0 12px, ${palette.signal} 12px 24px)` }} />
        <Typography sx={{ marginTop: 2, color: palette.inkSoft, fontSize: '0.86rem', textAlign: 'center' }}>
          Powered doors can hurt people. {cautionRank}
        </Typography>
      </Box>
    </Box>
  );
}
