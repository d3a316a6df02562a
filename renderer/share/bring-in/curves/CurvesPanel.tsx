import { useRef, useState } from 'react';
import type { CurveMapping } from '../../../../shared-lib/exchange/exchange-requests.ts';
import { useConnection } from '../../../api-client/ConnectionContext.tsx';
import { useAction } from '../../../api-client/use-action.ts';
import { Button } from '../../../ui/Button.tsx';
import { FailureNotice } from '../../../ui/FailureNotice.tsx';
import { LinkButton } from '../../../ui/LinkButton.tsx';
import { Notice } from '../../../ui/Notice.tsx';
import { Panel } from '../../../ui/Panel.tsx';
import type { ChosenFile } from '../../../ui/chosen-file-keeper.ts';
import { useChosenFile } from '../../../ui/use-chosen-file.ts';
import { useFocusWhenGone } from '../../../ui/use-focus-when-gone.ts';
import { ChooseFile } from '../ChooseFile.tsx';
import { type CurveForm, emptyCurveForm, readCurveForm } from './curve-form.ts';
import { CurvePicture } from './CurvePicture.tsx';
import './curves.css';
import { MappingFields } from './MappingFields.tsx';
import { MappingTable } from './MappingTable.tsx';
import { TakeInForm } from './TakeInForm.tsx';
import { useCurvesPreview } from './use-curves-preview.ts';

/** Curves of a CSV file become trials: chosen, looked at, mapped and named before anything is taken in. */
export function CurvesPanel() {
  const connection = useConnection();
  const choice = useChosenFile();
  const taking = useAction();
  const [mapping, setMapping] = useState<CurveMapping | null>(null);
  const [form, setForm] = useState<CurveForm>(emptyCurveForm);
  const [takenCount, setTakenCount] = useState<number | null>(null);
  const { chosen, fraction } = choice;
  const { preview, error, isReading } = useCurvesPreview(choice, mapping);
  const headingRef = useRef<HTMLHeadingElement>(null);
  // What takes the file in or gives it up goes away with it.
  const watch = useFocusWhenGone(() => headingRef.current);

  const beginAnew = (): void => {
    taking.clearError();
    setTakenCount(null);
    setMapping(null);
  };
  const choose = (next: ChosenFile | null): void => {
    beginAnew();
    choice.choose(next);
  };
  const hand = (file: File): void => {
    beginAnew();
    choice.hand(file);
  };
  const takeIn = (): void => {
    if (chosen === null || preview === null) return;
    const reading = readCurveForm(form, preview);
    if ('missing' in reading) return;
    void taking.run(async () => {
      const taken = connection.request('importCurves', { source: chosen.source, ...reading.value });
      choice.needFor(taken);
      const { trialIds } = await taken;
      choice.choose(null);
      setMapping(null);
      // Bench, day and step are often those of the next file too.
      setForm({ ...form, toolNames: {}, note: '' });
      setTakenCount(trialIds.length);
    });
  };

  const shownMapping = mapping ?? preview?.mapping ?? null;
  return (
    <div {...watch}>
      <Panel
        title="Curves of a file"
        headingRef={headingRef}
        lead="A CSV file with a line for each sample: times and one column of torque for each pull. Each column becomes a trial that says it was imported."
      >
        <ChooseFile
          label="Choose a file of curves"
          what="a file of curves (.csv, .txt)"
          endings={['.csv', '.txt', 'text/csv', 'text/plain']}
          isBusy={choice.isHanding || taking.isBusy}
          onFile={hand}
          onPath={(path) => choose({ source: { from: 'path', path }, name: path })}
        />
        <p role="status" className="bring-in-status">
          {fraction === null ? '' : `Handing the file over: ${Math.round(100 * fraction)} %.`}
          {isReading ? `Reading ${chosen?.name ?? 'the file'}.` : ''}
        </p>
        <FailureNotice error={choice.error} />
        <FailureNotice error={error} />
        {takenCount === null ? null : (
          <Notice
            kind="information"
            live="status"
            actions={<LinkButton href="/logbook">Open the Logbook</LinkButton>}
          >
            {takenCount} {takenCount === 1 ? 'trial' : 'trials'} taken in.
          </Notice>
        )}
        {chosen === null || preview === null || shownMapping === null ? null : (
          <div className="bring-in-preview">
            <h3>{chosen.name}</h3>
            <MappingFields key={chosen.name} mapping={shownMapping} onMapping={setMapping} />
            <MappingTable preview={{ ...preview, mapping: shownMapping }} onMapping={setMapping} />
            {preview.problems.length === 0 ? null : (
              <Notice kind="fault" live="status">
                It cannot be taken in like this.
                <ul className="bring-in-list">
                  {preview.problems.map((problem) => (
                    <li key={problem}>{problem}</li>
                  ))}
                </ul>
              </Notice>
            )}
            {preview.remarks.map((remark) => (
              <Notice key={remark} kind="caution">
                {remark}
              </Notice>
            ))}
            {preview.curves.length === 0 ? (
              <Button onPress={() => choose(null)}>Choose another file</Button>
            ) : (
              <>
                <CurvePicture curves={preview.curves} />
                <TakeInForm
                  form={form}
                  preview={preview}
                  isBusy={taking.isBusy}
                  isReading={isReading}
                  onForm={setForm}
                  onTakeIn={takeIn}
                  onGiveUp={() => choose(null)}
                />
              </>
            )}
          </div>
        )}
        <FailureNotice error={taking.error} />
      </Panel>
    </div>
  );
}
