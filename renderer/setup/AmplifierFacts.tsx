import type { AmplifierStatus } from '../../shared-lib/bench-status.ts';
import { formatNumber, formatRate, THIN_SPACE } from '../../shared-lib/format-quantity.ts';
import { Button } from '../ui/Button.tsx';
import { DataList, DataRow } from '../ui/DataRow.tsx';
import { Notice } from '../ui/Notice.tsx';
import { formatSignificant } from '../../shared-lib/format-significant.ts';
import { LiveReadingRow } from './LiveReadingRow.tsx';
import { clockSentence } from '../../shared-lib/signal/clock-sentence.ts';
import { compareRate, hasOnlyUnreadableLines, linkSentence, visibleLine } from './amplifier-facts.ts';

interface AmplifierFactsProps {
  readonly amplifier: AmplifierStatus;
  /** Left out where the rate is not the user's to set. */
  readonly onUseMeasuredRate?: (rateHz: number) => void;
}

/** What comes in at this moment, as plain facts: the first place to look when something is wrong. */
export function AmplifierFacts({ amplifier, onUseMeasuredRate }: AmplifierFactsProps) {
  const { counters, problem, nominalRateHz, measuredRateHz, rateResidualUs, lastBadLine } = amplifier;
  const rate = compareRate(amplifier);
  return (
    <>
      {problem === null ? null : (
        <Notice kind="fault" live="alert">
          {problem.sentence}
        </Notice>
      )}
      {hasOnlyUnreadableLines(amplifier) ? (
        <Notice kind="caution" live="status">
          Lines come in, but none of them fits. Compare the newest, below, with the examples under “What a
          line holds”; if it is no text at all, the baud rate is wrong.
        </Notice>
      ) : null}
      {rate?.isOff === true && onUseMeasuredRate !== undefined ? (
        <Notice
          kind="caution"
          live="status"
          actions={
            <Button onPress={() => onUseMeasuredRate(rate.suggestedRateHz)}>Use the measured rate</Button>
          }
        >
          The lines come at {formatSignificant(rate.suggestedRateHz, 'SaPerS')}, which is {rate.sentence}.
          Trials would carry this as a fault.
        </Notice>
      ) : null}
      {amplifier.link === 'failed' ? null : (
        <DataList label="What comes in">
          <DataRow name="State">{linkSentence(amplifier)}</DataRow>
          {amplifier.link === 'connected' ? <LiveReadingRow /> : null}
          <DataRow name="Nominal rate" kind="figure">
            {nominalRateHz === null ? '–' : formatSignificant(nominalRateHz, 'SaPerS')}
          </DataRow>
          <DataRow name="Measured rate" kind="figure" note={rate?.sentence}>
            {measuredRateHz === null ? 'not known yet' : formatRate(measuredRateHz, 2)}
          </DataRow>
          {rateResidualUs === null ? null : (
            <DataRow name="Residual of its fit" kind="figure">
              {formatNumber(rateResidualUs, 0)}
              {THIN_SPACE}µs
            </DataRow>
          )}
          <DataRow name="Time of a sample comes from">{clockSentence(amplifier.clockSource)}</DataRow>
          <CounterRow name="Samples" count={counters.samples} />
          <CounterRow name="Lost samples" count={counters.lostSamples} />
          <CounterRow name="Samples at the end of the converter’s range" count={counters.rails} />
          <CounterRow name="Numbers beyond the converter’s range" count={counters.beyondRails} />
          <CounterRow name="Lines that came twice" count={counters.duplicateLines} />
          <CounterRow name="Lines with a wrong checksum" count={counters.badChecksums} />
          <CounterRow name="Lines that could not be read" count={counters.badLines} />
          {lastBadLine === null ? null : (
            <DataRow name="The newest of them">
              <code className="setup-line">{visibleLine(lastBadLine)}</code>
            </DataRow>
          )}
        </DataList>
      )}
    </>
  );
}

function CounterRow({ name, count }: { readonly name: string; readonly count: number }) {
  return (
    <DataRow name={name} kind="figure">
      {formatNumber(count, 0)}
    </DataRow>
  );
}
