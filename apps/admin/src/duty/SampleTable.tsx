import { palette } from '@lintel/ui';
import { Box, Table, TableBody, TableCell, TableHead, TableRow } from '@mui/material';

/** A few lines of a file, as a table. */
export function SampleTable({ label, header, rows }: { label: string; header: readonly string[]; rows: readonly (readonly string[])[] }) {
  return (
    <Box sx={{ overflowX: 'auto', border: `1px solid ${palette.line}`, borderRadius: '3px' }} tabIndex={0} role="region" aria-label={label}>
      <Table size="small" aria-label={label}>
        <TableHead>
          <TableRow>
            {header.map((name, index) => (
              <TableCell key={index}>{name}</TableCell>
            ))}
          </TableRow>
        </TableHead>
        <TableBody>
          {rows.map((row, line) => (
            <TableRow key={line}>
              {header.map((_, index) => (
                <TableCell key={index} sx={{ whiteSpace: 'nowrap' }}>
                  {row[index] ?? ''}
                </TableCell>
              ))}
            </TableRow>
          ))}
        </TableBody>
      </Table>
    </Box>
  );
}
