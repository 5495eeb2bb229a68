import { Component } from 'react';
import type { ReactNode } from 'react';
import { Trouble } from '../common/faces.js';

/** Catches what a page throws while it is drawn, so that the menu stays usable. */
export class PageGuard extends Component<{ children: ReactNode }, { error: unknown }> {
  override state: { error: unknown } = { error: null };

  static getDerivedStateFromError(error: unknown) {
    return { error };
  }

  override render() {
    if (this.state.error === null) return this.props.children;
    return <Trouble error={this.state.error} again={() => this.setState({ error: null })} />;
  }
}
