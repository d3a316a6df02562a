import { ChoiceField } from '../../ui/ChoiceField.tsx';
import { formatDay } from '../../ui/date-time.ts';
import { DayField } from '../../ui/DayField.tsx';
import { QuantityField } from '../../ui/QuantityField.tsx';
import { TextField } from '../../ui/TextField.tsx';
import { claimNames, NOT_KNOWN } from '../tool-sentences.ts';
import { FormLines, LineActions, OpenLine } from './FormLines.tsx';
import { type ClaimForm, claimReader, type FormUnits, MOST_CLAIMS } from './tool-form.ts';
import { useFormLines } from './use-form-lines.ts';

const kinds = [
  { key: 'fastening', label: claimNames.fastening },
  { key: 'breakaway', label: claimNames.breakaway },
] as const;

const columns = [
  { title: 'Torque', isNumber: true },
  { title: 'Of' },
  { title: 'Source' },
  { title: 'Stated on' },
];

interface ClaimLinesProps {
  readonly claims: readonly ClaimForm[];
  readonly onChange: (claims: readonly ClaimForm[]) => void;
  readonly units: FormUnits;
}

/** The torques that the maker states, each with where and when. */
export function ClaimLines({ claims, onChange, units }: ClaimLinesProps) {
  const parse = claimReader(units.torqueUnit);
  const lines = useFormLines(
    claims,
    onChange,
    ({ torque, source }) => torque.trim() === '' || source.trim() === '' || 'problem' in parse(torque),
  );
  return (
    <FormLines
      title="Claims"
      lead="What the maker states. A fastening claim is held against tightening, a breakaway claim only against breakaway."
      columns={columns}
      isEmpty={claims.length === 0}
      addLabel="Add a claim"
      onAdd={() =>
        lines.add({ id: crypto.randomUUID(), kind: 'fastening', torque: '', source: '', statedOn: '' })
      }
      isFull={claims.length >= MOST_CLAIMS}
      mostWords={`There are ${MOST_CLAIMS}, which is the most.`}
      sectionRef={lines.sectionRef}
    >
      {claims.map((claim, index) => {
        const name = `claim ${index + 1}`;
        return lines.isOpen(claim) ? (
          <OpenLine
            key={claim.id}
            name={name}
            columnCount={columns.length}
            onDone={lines.close}
            onRemove={() => lines.remove(claim)}
          >
            <ChoiceField
              label="Of"
              choices={kinds}
              selected={claim.kind}
              onSelect={(kind) => lines.change(claim, { kind })}
            />
            <QuantityField
              label="Claimed torque"
              typed={claim.torque}
              onTyped={(torque) => lines.change(claim, { torque })}
              parse={parse}
              placeholder={units.torqueUnit === 'Nm' ? 'such as 1200 N·m' : 'such as 900 ft·lbf'}
              isRequired
            />
            <TextField
              label="Source of the claim"
              value={claim.source}
              onChange={(source) => lines.change(claim, { source })}
              placeholder="such as data sheet, box"
              maxLength={200}
              isRequired
            />
            <DayField
              label="Stated on"
              day={claim.statedOn}
              onDay={(statedOn) => lines.change(claim, { statedOn })}
            />
          </OpenLine>
        ) : (
          <tr key={claim.id}>
            <td className="figure-table-number">{claimCell(claim, parse)}</td>
            <td>{claimNames[claim.kind]}</td>
            <td className="tool-text">{claim.source}</td>
            <td>{claim.statedOn === '' ? NOT_KNOWN : formatDay(claim.statedOn)}</td>
            <LineActions
              name={name}
              onChange={() => lines.open(claim)}
              onRemove={() => lines.remove(claim)}
            />
          </tr>
        );
      })}
    </FormLines>
  );
}

/** As it was typed, with what that is in the chosen unit. */
function claimCell({ torque }: ClaimForm, parse: ReturnType<typeof claimReader>): string {
  const reading = parse(torque);
  const plain = (text: string) => text.replaceAll(/\s/g, '');
  if ('problem' in reading || plain(reading.shown).startsWith(plain(torque))) {
    return 'shown' in reading ? reading.shown : torque;
  }
  return `${torque.trim()} = ${reading.shown}`;
}
