import { Component, type ReactNode } from 'react';
import { Button } from '../ui/Button.tsx';
import { Notice } from '../ui/Notice.tsx';

interface PlaceErrorBoundaryState {
  readonly hasFailed: boolean;
}

/**
 * Keeps a fault of one place from blanking the whole page: the frame with its status line stays. To be keyed by the
 * place, so that another one is drawn afresh.
 */
export class PlaceErrorBoundary extends Component<{ readonly children: ReactNode }, PlaceErrorBoundaryState> {
  override readonly state: PlaceErrorBoundaryState = { hasFailed: false };

  static getDerivedStateFromError(): PlaceErrorBoundaryState {
    return { hasFailed: true };
  }

  override render(): ReactNode {
    if (!this.state.hasFailed) return this.props.children;
    return (
      <Notice
        kind="fault"
        live="alert"
        actions={<Button onPress={() => window.location.reload()}>Load this page again</Button>}
      >
        This page could not be drawn, which is a fault of the program. What is stored is safe, and a run under
        way is recorded all the same.
      </Notice>
    );
  }
}
