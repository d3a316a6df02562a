import type { RequestResult } from '../../../shared-lib/api-contract.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { Button } from '../../ui/Button.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import { tabSeparated } from '../copying/plain-text.ts';
import type { Copier } from '../copying/use-copy.ts';
import type { CurveWindow } from './curve-window.ts';
import { windowCells } from './window-cells.ts';

interface WindowFiguresProps {
  readonly trialId: string;
  readonly window: CurveWindow;
  readonly isSelection: boolean;
  readonly stepS: number;
  readonly copier: Copier;
  readonly onLookCloser: () => void;
  readonly onClear: () => void;
}

/** What the raw samples of the selection come to, or of all that is in sight. */
export function WindowFigures(props: WindowFiguresProps) {
  const { trialId, window, isSelection, stepS, copier, onLookCloser, onClear } = props;
  const { result, error } = useRequest('getWindowFigures', { trialId, ...window });
  return (
    <section className="trial-window" aria-label="Figures of the window">
      <div className="trial-window-head">
        <h3>{isSelection ? 'Raw samples of the selection' : 'Raw samples in sight'}</h3>
        {isSelection ? (
          <>
            <Button look="quiet" onPress={onLookCloser}>
              Look closer at it
            </Button>
            <Button look="quiet" onPress={onClear}>
              Let it go
            </Button>
          </>
        ) : null}
        {result === null ? null : <CopyWindow result={result} stepS={stepS} copier={copier} />}
      </div>
      <FailureNotice error={error} />
      {result === null ? null : <WindowRow result={result} stepS={stepS} />}
    </section>
  );
}

interface WindowRowProps {
  readonly result: RequestResult<'getWindowFigures'>;
  readonly stepS: number;
}

function WindowRow({ result, stepS }: WindowRowProps) {
  const torque = useTorqueDisplay();
  return (
    <dl className="trial-readout">
      {windowCells(result, stepS, torque).map(({ name, value }) => (
        <div key={name}>
          <dt>{name}</dt>
          <dd>{value}</dd>
        </div>
      ))}
    </dl>
  );
}

function CopyWindow({ result, stepS, copier }: WindowRowProps & { readonly copier: Copier }) {
  const torque = useTorqueDisplay();
  const copy = () => {
    const cells = windowCells(result, stepS, torque);
    const rows = [cells.map(({ name }) => name), cells.map(({ value }) => value)];
    void copier.copyText('the figures of the window', tabSeparated(rows));
  };
  return (
    <Button look="quiet" onPress={copy}>
      Copy these
    </Button>
  );
}
