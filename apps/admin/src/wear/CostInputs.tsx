import { currencyDigits, palette } from '@lintel/ui';
import { Box, Typography } from '@mui/material';
import { NumberInput, TextInput, regex } from 'react-admin';
import { useWatch } from 'react-hook-form';

/** What replacing the part costs: typed in the currency's usual units, kept in its minor ones. */
export function CostInputs() {
  const currency = useWatch({ name: 'costCurrency' }) as string | null | undefined;
  return (
    <>
      <Typography variant="h3" sx={{ marginTop: 1 }}>
        Costs of replacing it
      </Typography>
      <Typography sx={{ color: palette.slate }}>
        Together they say at which age a planned replacement pays. A failure costs the call, the stopped door and the cold that is lost as well.
      </Typography>
      <Box sx={{ display: 'grid', gridTemplateColumns: { xs: '1fr', sm: '1fr 1fr 110px' }, gap: '0 16px', width: '100%' }}>
        <MoneyInput source="plannedCost" label="Planned replacement" currency={currency ?? ''} />
        <MoneyInput source="failureCost" label="Failure, with all that follows" currency={currency ?? ''} />
        <TextInput
          source="costCurrency"
          label="Currency"
          validate={regex(/^[A-Z]{3}$/, 'Three capital letters, e.g. EUR')}
          parse={(text: string) => (text === '' ? null : text.toUpperCase())}
        />
      </Box>
    </>
  );
}

function MoneyInput({ source, label, currency }: { source: string; label: string; currency: string }) {
  const minor = 10 ** currencyDigits(currency);
  return (
    <NumberInput
      source={source}
      label={label}
      min={0}
      format={(value: number | null | undefined) => (value == null ? '' : value / minor)}
      parse={(text: string) => (text === '' ? null : Math.round(Number(text) * minor))}
    />
  );
}
