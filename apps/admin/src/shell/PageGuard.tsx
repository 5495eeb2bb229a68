import { Button } from '@mui/material';
import { Component } from 'react';
import type { ReactNode } from 'react';
import { Nothing, Trouble } from '../common/faces.js';

/** Browsers say it differently: a file of this page is no longer on the server, because a newer version is. */
const goneFile = /dynamically imported module|importing a module script|preload (css|module)/i;

/** Catches what a page throws while it is drawn, so that the menu stays usable. */
export class PageGuard extends Component<{ children: ReactNode }, { error: unknown }> {
  override state: { error: unknown } = { error: null };

  static getDerivedStateFromError(error: unknown) {
    return { error };
  }

  override render() {
    const { error } = this.state;
    if (error === null) return this.props.children;
    if (error instanceof Error && goneFile.test(error.message)) return <NewVersion />;
    return <Trouble error={error} again={() => this.setState({ error: null })} />;
  }
}

function NewVersion() {
  const reload = (
    <Button variant="contained" onClick={() => window.location.reload()}>
      Load the page again
    </Button>
  );
  return (
    <Nothing title="This page could not be fetched" action={reload}>
      Either the connection is gone, or Lintel has been brought up to date since this window was opened.
    </Nothing>
  );
}
