import { localDay } from '../../calibrate/local-day.ts';
import { ChoiceField } from '../../ui/ChoiceField.tsx';
import { formatDay } from '../../ui/date-time.ts';
import { DayField } from '../../ui/DayField.tsx';
import { QuantityField } from '../../ui/QuantityField.tsx';
import { TextField } from '../../ui/TextField.tsx';
import { readMoney } from '../read-money.ts';
import { NOT_KNOWN, priceNames } from '../tool-sentences.ts';
import { FormLines, LineActions, OpenLine } from './FormLines.tsx';
import { type FormUnits, MOST_PRICES, type PriceForm, priceReader } from './tool-form.ts';
import { useFormLines } from './use-form-lines.ts';

const kinds = [
  { key: 'bare', label: priceNames.bare },
  { key: 'kit', label: priceNames.kit },
] as const;

const columns = [{ title: 'Price', isNumber: true }, { title: 'For' }, { title: 'On' }, { title: 'Source' }];

interface PriceLinesProps {
  readonly prices: readonly PriceForm[];
  readonly onChange: (prices: readonly PriceForm[]) => void;
  readonly units: FormUnits;
}

/** Prices, each of its day: the newest up to the day of a table counts there. */
export function PriceLines({ prices, onChange, units }: PriceLinesProps) {
  const parse = priceReader(units.currency);
  const lines = useFormLines(prices, onChange, ({ money, on }) => on === '' || 'problem' in parse(money));
  return (
    <FormLines
      title="Prices"
      lead="The newest of a kind counts. A new price is a line of its own, so that an older table can still say what it cost then."
      columns={columns}
      isEmpty={prices.length === 0}
      addLabel="Add a price"
      onAdd={() =>
        lines.add({ id: crypto.randomUUID(), kind: 'bare', money: '', on: localDay(new Date()), source: '' })
      }
      isFull={prices.length >= MOST_PRICES}
      mostWords={`There are ${MOST_PRICES}, which is the most.`}
      sectionRef={lines.sectionRef}
    >
      {prices.map((price, index) => {
        const name = `price ${index + 1}`;
        return lines.isOpen(price) ? (
          <OpenLine
            key={price.id}
            name={name}
            columnCount={columns.length}
            onDone={lines.close}
            onRemove={() => lines.remove(price)}
          >
            <ChoiceField
              label="For"
              choices={kinds}
              selected={price.kind}
              onSelect={(kind) => lines.change(price, { kind })}
            />
            <QuantityField
              label="Amount"
              typed={price.money}
              onTyped={(money) => lines.change(price, { money })}
              parse={parse}
              placeholder={`such as 249 ${units.currency}`}
              isRequired
            />
            <DayField label="On" day={price.on} onDay={(on) => lines.change(price, { on })} />
            <TextField
              label="Source of the price"
              value={price.source}
              onChange={(source) => lines.change(price, { source })}
              placeholder="such as list price, shop"
              maxLength={200}
            />
          </OpenLine>
        ) : (
          <tr key={price.id}>
            <td className="figure-table-number">{moneyCell(price, units.currency)}</td>
            <td>{priceNames[price.kind]}</td>
            <td>{formatDay(price.on)}</td>
            <td className="tool-text">{price.source === '' ? NOT_KNOWN : price.source}</td>
            <LineActions
              name={name}
              onChange={() => lines.open(price)}
              onRemove={() => lines.remove(price)}
            />
          </tr>
        );
      })}
    </FormLines>
  );
}

function moneyCell({ money }: PriceForm, currency: string): string {
  const reading = readMoney(money, currency);
  return 'problem' in reading ? money : reading.shown;
}
