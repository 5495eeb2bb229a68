import { Box, Button, MenuItem, TextField } from '@mui/material';
import { useListContext } from 'react-admin';

const sizes = [25, 50, 100];

/** Back and forth through a list whose length nobody counted: what is shown, and whether more follows. */
export function Pager() {
  const { data = [], page, perPage, hasNextPage = false, setPage, setPerPage } = useListContext();
  const first = (page - 1) * perPage + 1;
  const last = first + data.length - 1;
  return (
    <Box component="nav" aria-label="Pages of the list" sx={{ display: 'flex', flexWrap: 'wrap', alignItems: 'center', justifyContent: 'flex-end', gap: 1, padding: '6px 10px' }}>
      <Box component="span" sx={{ marginRight: 'auto', paddingLeft: 0.5 }}>
        {first.toLocaleString('en')}–{last.toLocaleString('en')}
        {hasNextPage ? ', more follow' : page > 1 ? ', the end' : ' in all'}
      </Box>
      <TextField
        select
        value={perPage}
        onChange={(event) => setPerPage(Number(event.target.value))}
        fullWidth={false}
        margin="none"
        slotProps={{ htmlInput: { 'aria-label': 'Rows a page' } }}
      >
        {sizes.map((size) => (
          <MenuItem key={size} value={size}>
            {size} rows
          </MenuItem>
        ))}
      </TextField>
      <Button variant="outlined" disabled={page <= 1} onClick={() => setPage(page - 1)}>
        Back
      </Button>
      <Button variant="outlined" disabled={!hasNextPage} onClick={() => setPage(page + 1)}>
        Next
      </Button>
    </Box>
  );
}
