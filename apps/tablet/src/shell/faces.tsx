import { Component, type ErrorInfo, type ReactNode } from 'react';

/** Nothing is there, and what that means. */
export function Empty({ children }: { children: ReactNode }) {
  return <p className="empty">{children}</p>;
}

/** What was refused, and what helps; read out at once. */
export function Refusal({ children }: { children: ReactNode }) {
  return children === null || children === undefined || children === '' ? null : <p role="alert" className="refusal">{children}</p>;
}

/** A fault of the pages themselves: what was kept is safe, and one can go on. */
export class Catch extends Component<{ children: ReactNode }, { fault: Error | null }> {
  override state: { fault: Error | null } = { fault: null };

  static getDerivedStateFromError(fault: Error): { fault: Error } {
    return { fault };
  }

  override componentDidCatch(fault: Error, info: ErrorInfo): void {
    reportError(new Error(`${fault.message}${info.componentStack ?? ''}`));
  }

  override render(): ReactNode {
    const { fault } = this.state;
    if (!fault) return this.props.children;
    return (
      <main className="sign-in">
        <div role="alert">
          <h1>This page failed</h1>
          <p>Everything that was kept on this device is still there. {fault.message}</p>
          <a className="button first" href="/tablet/">To the visits</a>
        </div>
      </main>
    );
  }
}
