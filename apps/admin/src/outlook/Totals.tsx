import type { Outlook } from '@lintel/contract';
import { ConditionShape, StateShape, palette } from '@lintel/ui';
import { Box } from '@mui/material';
import type { ReactNode } from 'react';
import { Link } from 'react-router';
import { listLink } from '../common/links.js';

/** The fleet in one line; each figure leads to its doors. */
export function Totals({ totals }: { totals: Outlook['totals'] }) {
  return (
    <Box sx={{ display: 'flex', flexWrap: 'wrap', gap: '8px 28px', padding: '2px 4px' }}>
      <Figure to="/doors" number={totals.doors} words="doors" />
      <Figure
        to={listLink('doors', { state: 'in-service' })}
        number={totals.inService}
        words="in service"
        shape={<StateShape state="in-service" />}
      />
      <Figure
        to={listLink('doors', { state: 'out-of-service' })}
        number={totals.outOfService}
        words="out of service"
        shape={<StateShape state="out-of-service" />}
        urgent={totals.outOfService > 0}
      />
      <Figure
        to={listLink('doors', { condition: 'worn' })}
        number={totals.worn}
        words="with a worn part"
        shape={<ConditionShape condition="worn" />}
        urgent={totals.worn > 0}
      />
    </Box>
  );
}

function Figure({ to, number, words, shape, urgent = false }: { to: string; number: number; words: string; shape?: ReactNode; urgent?: boolean }) {
  const colour = urgent ? palette.signalDeep : palette.ink;
  return (
    <Box component={Link} to={to} sx={{ display: 'inline-flex', alignItems: 'baseline', gap: 0.9, color: colour, textDecoration: 'none', '&:hover': { textDecoration: 'underline' } }}>
      {shape && number > 0 ? (
        <svg width={15} height={15} viewBox="0 0 16 16" aria-hidden="true" style={{ alignSelf: 'center' }}>
          {shape}
        </svg>
      ) : null}
      <Box component="span" sx={{ fontSize: '1.3rem', fontWeight: 750 }}>
        {number.toLocaleString('en')}
      </Box>
      <span>{words}</span>
    </Box>
  );
}
