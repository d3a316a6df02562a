import { useState } from 'react';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { localDay } from '../../calibrate/local-day.ts';
import { Button } from '../../ui/Button.tsx';
import { formatDay } from '../../ui/date-time.ts';
import { DayField } from '../../ui/DayField.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { ActionRow, FieldGrid, Panel } from '../../ui/Panel.tsx';
import { QuantityField } from '../../ui/QuantityField.tsx';
import { TextField } from '../../ui/TextField.tsx';
import { ToolsPage } from '../ToolsPage.tsx';
import { useFormUnits } from '../tool/use-form-units.ts';
import {
  currencyProblem,
  newestRatesFirst,
  type RateForm,
  rateReader,
  rateWords,
  readRateForm,
} from './rate-form.ts';

/** What prices in other currencies are compared by. */
export function RatesPage() {
  const { result, error } = useRequest('listExchangeRates', {}, 'catalogueChanged');
  const { currency } = useFormUnits();
  return (
    <ToolsPage title="Exchange rates">
      <Panel
        title="Enter a rate"
        lead="For prices in another currency than a table’s. A rate holds from its day on, until a newer one; without one such a price does not count in the table, which says so."
      >
        <EnterRate currency={currency} />
      </Panel>
      <Panel title="Entered so far">
        <FailureNotice error={error} />
        {result === null ? null : result.rates.length === 0 ? (
          <p className="tool-soft">None yet. As long as all prices are in one currency none is needed.</p>
        ) : (
          <div className="figure-table-frame">
            <table className="figure-table" aria-label="Exchange rates">
              <thead>
                <tr>
                  <th scope="col">From</th>
                  <th scope="col">Rate</th>
                  <th scope="col">Source</th>
                </tr>
              </thead>
              <tbody>
                {newestRatesFirst(result.rates).map((rate, index) => (
                  <tr key={`${index} ${rate.on}`}>
                    <td>{formatDay(rate.on)}</td>
                    <td>{rateWords(rate)}</td>
                    <td className="tool-text">{rate.source}</td>
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
        )}
        <p className="tool-soft">
          Rates are never taken out; a wrong one is put right by a newer of the same day.
        </p>
      </Panel>
    </ToolsPage>
  );
}

function EnterRate({ currency }: { readonly currency: string }) {
  const connection = useConnection();
  const { run, isBusy, error } = useAction();
  const [typed, setTyped] = useState<Partial<RateForm>>({});
  const form: RateForm = {
    currency: '',
    inCurrency: currency,
    rate: '',
    on: localDay(new Date()),
    source: '',
    ...typed,
  };
  const change = (part: Partial<RateForm>) => setTyped((before) => ({ ...before, ...part }));
  const reading = readRateForm(form);
  const isBegun = Object.keys(typed).length > 0;
  const add = async () => {
    if ('missing' in reading || isBusy) return;
    if (await run(() => connection.request('addExchangeRate', { rate: reading.value }))) setTyped({});
  };
  return (
    <>
      <FieldGrid>
        <TextField
          label="One unit of"
          value={form.currency}
          onChange={(text) => change({ currency: text })}
          problem={currencyProblem(form.currency)}
          placeholder="such as USD"
          maxLength={3}
          isRequired
        />
        <QuantityField
          label="is worth"
          typed={form.rate}
          onTyped={(rate) => change({ rate })}
          parse={rateReader}
          placeholder="such as 0.92"
          isRequired
        />
        <TextField
          label="units of"
          value={form.inCurrency}
          onChange={(inCurrency) => change({ inCurrency })}
          problem={currencyProblem(form.inCurrency)}
          maxLength={3}
          isRequired
        />
        <DayField label="From" day={form.on} onDay={(on) => change({ on })} />
        <TextField
          label="Source"
          value={form.source}
          onChange={(source) => change({ source })}
          placeholder="such as central bank, invoice"
          maxLength={200}
          isRequired
        />
      </FieldGrid>
      <FailureNotice error={error} />
      <ActionRow>
        <Button
          look="primary"
          isDisabled={'missing' in reading}
          isPending={isBusy}
          onPress={() => void add()}
        >
          Enter this rate
        </Button>
        <span className="tool-soft" role="status">
          {isBegun && 'missing' in reading ? `Still needed: ${reading.missing.join(', ')}.` : ''}
        </span>
      </ActionRow>
    </>
  );
}
