import type { ReactNode } from 'react';
import { validityRows } from '../../../shared-lib/calibration/words/validity-rows.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { DataList, DataRow } from '../../ui/DataRow.tsx';
import { formatDateTime, formatDay } from '../../ui/date-time.ts';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import {
  methodWords,
  operatorWords,
  senseWords,
  versionUncertaintyWords,
} from '../../../shared-lib/calibration/words/calibration-sentences.ts';
import { CheckTable } from '../check/CheckHistory.tsx';
import { FindingsList } from '../result/FindingsList.tsx';
import {
  amplifierWords,
  benchTermRows,
  enteredRows,
  enteredSummary,
  fromMemoryRules,
  procedureRows,
  type Report,
  reportCautions,
  type ReportRow,
} from '../../../shared-lib/calibration/words/report-sentences.ts';
import { ReadingsTable } from './ReadingsTable.tsx';
import { ReportSenses } from './ReportSenses.tsx';
import { StandardsUsed } from './StandardsUsed.tsx';

const NEWEST_CHECKS = 20;

/** The plain words first, then what they rest on; what a reader may want to check comes last. */
export function ReportDocument({ report }: { readonly report: Report }) {
  const { version, run, result, checks } = report;
  const memory = result === null ? [] : fromMemoryRules(result);
  return (
    <article className="report" aria-label={`Report of ${version.label}`}>
      <ReportHead report={report} />
      <Section title="In short">
        <ul className="report-summary">
          {(result?.summary ?? enteredSummary(version)).map((sentence) => (
            <li key={sentence}>{sentence}</li>
          ))}
        </ul>
        {result === null ? (
          <p>
            <strong>Static calibration; dynamic error not included.</strong>
          </p>
        ) : null}
      </Section>
      <Validity report={report} />
      {result === null || result.findings.length === 0 ? null : (
        <Section title="Findings">
          <FindingsList findings={result.findings} label="Findings" />
        </Section>
      )}
      {result === null ? <Entered report={report} /> : <ReportSenses result={result} run={run} />}
      {run === null ? null : (
        <>
          <Section title="Standards used">
            <StandardsUsed setup={run.setup} result={result} />
          </Section>
          <Section title="How it was done">
            <Rows label="Procedure" rows={procedureRows(run.setup)} />
          </Section>
          <Section title="What was reckoned with at the bench">
            <Rows label="Terms at bench time" rows={benchTermRows(run.setup)} />
          </Section>
        </>
      )}
      <Section title="Daily checks since">
        {checks.length === 0 ? (
          <p>None yet under this calibration.</p>
        ) : (
          <>
            {checks.length > NEWEST_CHECKS ? (
              <p>
                The newest {NEWEST_CHECKS} of {checks.length}.
              </p>
            ) : null}
            <div className="report-long">
              <CheckTable checks={checks.slice(0, NEWEST_CHECKS)} />
            </div>
          </>
        )}
      </Section>
      {memory.length === 0 ? null : (
        <Section title="Rules from memory">
          <List items={memory} />
        </Section>
      )}
      <Section title="Cautions">
        <List items={reportCautions} />
      </Section>
      {run === null ? null : (
        <Section title="All readings">
          <div className="report-long">
            <ReadingsTable run={run} />
          </div>
        </Section>
      )}
    </article>
  );
}

function ReportHead({ report: { version, run } }: { readonly report: Report }) {
  const { result: transducers } = useRequest('listTransducers', {});
  const { result: amplifiers } = useRequest('listAmplifiers', {});
  const transducer = transducers?.transducers.find(({ id }) => id === version.transducerId);
  const amplifier = amplifiers?.amplifiers.find(({ id }) => id === version.amplifierId);
  const isSimulated = version.method === 'simulated' || run?.isSimulated === true;
  return (
    <header className="report-head">
      <h2>{version.label}</h2>
      {isSimulated ? (
        <p className="report-mark">Simulated bench: a demonstration, no real transducer</p>
      ) : null}
      <DataList label="What was calibrated, when and by whom">
        <DataRow name="Transducer">{transducer?.name ?? version.transducerId}</DataRow>
        <DataRow name="With the amplifier">{amplifierWords(version, amplifier?.name ?? null)}</DataRow>
        <DataRow name="From">{methodWords(version.method)}</DataRow>
        {run === null ? null : <DataRow name="Begun">{formatDateTime(run.startedAt)}</DataRow>}
        <DataRow name={run === null ? 'Entered' : 'Accepted'}>
          {formatDateTime(version.createdAt)}, {operatorWords(version.operator)}
        </DataRow>
        {version.note === '' ? null : <DataRow name="Note">{version.note}</DataRow>}
        <DataRow name="Number">{version.id}</DataRow>
      </DataList>
    </header>
  );
}

function Validity({ report }: { readonly report: Report }) {
  return (
    <Section title="How long it holds">
      <DataList label="How long it holds">
        {validityRows(report, { day: formatDay, instant: formatDateTime }).map(({ name, value, note }) => (
          <DataRow key={name} name={name} note={note ?? undefined}>
            {value}
          </DataRow>
        ))}
      </DataList>
    </Section>
  );
}

/** A version that no run stands behind: what it is, and what was typed for it. */
function Entered({ report: { version } }: { readonly report: Report }) {
  const torque = useTorqueDisplay();
  return (
    <Section title="What was entered">
      <DataList label="The calibration">
        <DataRow name="Forward">{senseWords(version.forward, torque.unit, torque.format)}</DataRow>
        <DataRow name="Reverse">{senseWords(version.reverse, torque.unit, torque.format)}</DataRow>
        <DataRow name="Uncertainty">{versionUncertaintyWords(version)}</DataRow>
      </DataList>
      {version.input === null ? null : <Rows label="What was entered" rows={enteredRows(version.input)} />}
    </Section>
  );
}

export function Section({ title, children }: { readonly title: string; readonly children: ReactNode }) {
  return (
    <section className="report-section">
      <h2>{title}</h2>
      {children}
    </section>
  );
}

function Rows({ label, rows }: { readonly label: string; readonly rows: readonly ReportRow[] }) {
  return (
    <DataList label={label}>
      {rows.map(({ name, value }) => (
        <DataRow key={name} name={name}>
          {value}
        </DataRow>
      ))}
    </DataList>
  );
}

function List({ items }: { readonly items: readonly string[] }) {
  return (
    <ul className="report-list">
      {items.map((item) => (
        <li key={item}>{item}</li>
      ))}
    </ul>
  );
}
