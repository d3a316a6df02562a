import { memo, type ReactNode, type RefObject, useRef } from 'react';
import type { RequestResult } from '../../../shared-lib/api-contract.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { Button } from '../../ui/Button.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import { CopyOutcomeLine } from '../copying/CopyOutcomeLine.tsx';
import { tabSeparated } from '../copying/plain-text.ts';
import { useCopy } from '../copying/use-copy.ts';
import type { CurveWindow } from './curve-window.ts';
import { windowCells } from './window-cells.ts';

type Figures = RequestResult<'getWindowFigures'>;

interface WindowFiguresProps {
  readonly title: string;
  /** Null: on their way. */
  readonly figures: Figures | null;
  readonly stepS: number;
  /** Buttons for the window. */
  readonly actions?: ReactNode;
  readonly children?: ReactNode;
}

/** What the raw samples of a window come to. */
export function WindowFigures({ title, figures, stepS, actions, children }: WindowFiguresProps) {
  const torque = useTorqueDisplay();
  const cells = figures === null ? [] : windowCells(figures, stepS, torque);
  const listRef = useRef<HTMLDListElement>(null);
  return (
    <section className="trial-window" aria-label="Figures of the window">
      <div className="trial-window-head">
        <h3>{title}</h3>
        {actions}
        {figures === null ? null : <CopyFigures listRef={listRef} />}
      </div>
      {children}
      {figures === null ? null : (
        <dl ref={listRef} className="trial-readout">
          {cells.map(({ name, value }) => (
            <div key={name}>
              <dt>{name}</dt>
              <dd>{value}</dd>
            </div>
          ))}
        </dl>
      )}
    </section>
  );
}

/** Copies what stands in the list, so that it need not be built anew with each step. */
const CopyFigures = memo(function CopyFigures({
  listRef,
}: {
  readonly listRef: RefObject<HTMLDListElement | null>;
}) {
  const { outcome, copyText } = useCopy();
  const textsOf = (tag: 'dt' | 'dd') =>
    Array.from(listRef.current?.querySelectorAll(tag) ?? [], ({ textContent }) => textContent);
  const copy = () => void copyText('the figures of the window', tabSeparated([textsOf('dt'), textsOf('dd')]));
  return (
    <>
      <CopyOutcomeLine outcome={outcome} />
      <Button look="quiet" onPress={copy}>
        Copy these
      </Button>
    </>
  );
});

interface SelectionFiguresProps {
  readonly trialId: string;
  readonly selected: CurveWindow;
  readonly stepS: number;
  readonly onLookCloser: () => void;
  readonly onClear: () => void;
}

/** Those of a selection, which are asked for apart. */
export function SelectionFigures(props: SelectionFiguresProps) {
  const { trialId, selected, stepS, onLookCloser, onClear } = props;
  const { result, error } = useRequest('getWindowFigures', { trialId, ...selected });
  return (
    <WindowFigures
      title="Raw samples of the selection"
      figures={result}
      stepS={stepS}
      actions={
        <>
          <Button look="quiet" onPress={onLookCloser}>
            Look closer at it
          </Button>
          <Button look="quiet" onPress={onClear}>
            Let it go
          </Button>
        </>
      }
    >
      <FailureNotice error={error} />
    </WindowFigures>
  );
}
