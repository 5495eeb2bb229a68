import { Button } from '@mui/material';
import { Link } from 'react-router';
import { Nothing } from '../common/faces.js';
import { PageHead } from '../common/Page.js';

const home = (
  <Button component={Link} to="/" variant="outlined">
    To the Outlook
  </Button>
);

/** An address that leads nowhere. */
export function NotHere() {
  return (
    <>
      <PageHead title="No such page" />
      <Nothing title="This address leads nowhere" action={home}>
        It may have been mistyped, or what it showed has been archived.
      </Nothing>
    </>
  );
}

/** A page that the account may not see. */
export function NotYours() {
  return (
    <>
      <PageHead title="Not open to this account" />
      <Nothing title="Your account may not see this page" action={home}>
        An administrator of your service company can change what an account may do.
      </Nothing>
    </>
  );
}
