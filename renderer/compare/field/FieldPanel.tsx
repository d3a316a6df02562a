import { Link } from 'wouter';
import type { FieldPlace } from '../../../shared-lib/comparison/comparison-model.ts';
import { useRequest } from '../../api-client/use-request.ts';
import '../../calibrate/figure-table.css';
import { Panel } from '../../ui/Panel.tsx';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import { AskAgain } from '../AskAgain.tsx';
import { compareAddress } from '../compare-address.ts';
import { lowerFirst, stepName } from '../../../shared-lib/comparison/words/compare-sentences.ts';
import type { CompleteChoice } from '../choose-pair.ts';
import { measureDisplay, measureName } from '../../../shared-lib/comparison/words/measure-choices.ts';
import { useReloadOn } from '../use-reload-on.ts';
import { notSeparatedWords, placeRangeWords } from './field-sentences.ts';

const outdatedBy = ['standingsChanged', 'catalogueChanged', 'settingsChanged'] as const;

/** All that were pulled by the step, each with the places it could have. */
export function FieldPanel({ choice }: { readonly choice: CompleteChoice }) {
  const { step, measure } = choice;
  const torque = useTorqueDisplay();
  const { result, error, isLoading, reload } = useRequest(
    'compareField',
    { step, measure, sessionIds: null, keys: null },
    'trialsChanged',
  );
  useReloadOn(outdatedBy, reload);
  const name = measureName(measure, torque);
  return (
    <Panel
      title="The whole field"
      lead={`Everybody by ${lowerFirst(name)}, ${lowerFirst(stepName(step))}, over all sessions. A place is a range where the scatter does not tell neighbours apart.`}
    >
      <AskAgain error={error} onAsk={reload} />
      {result === null ? (
        <p role="status">{isLoading ? 'Comparing all of them.' : ''}</p>
      ) : (
        <>
          {result.places.length === 0 ? (
            <p>Nobody has a value of this measure yet.</p>
          ) : (
            <FieldTable places={result.places} choice={choice} name={name} />
          )}
          <ul className="compare-sentences" aria-label="What the places rest on">
            {[result.scatter.sentence, ...result.cautions].map((sentence) => (
              <li key={sentence}>{sentence}</li>
            ))}
          </ul>
        </>
      )}
    </Panel>
  );
}

interface FieldTableProps {
  readonly places: readonly FieldPlace[];
  readonly choice: CompleteChoice;
  readonly name: string;
}

function FieldTable({ places, choice, name }: FieldTableProps) {
  const torque = useTorqueDisplay();
  const display = measureDisplay(choice.measure, torque);
  return (
    <div className="figure-table-frame">
      <table className="figure-table compare-field">
        <caption className="visually-hidden">Places by {name}</caption>
        <thead>
          <tr>
            <th scope="col">Place</th>
            <th scope="col" className="compare-nowrap">
              Could be
            </th>
            <th scope="col">Who</th>
            <th scope="col" className="figure-table-number">
              Runs
            </th>
            <th scope="col" className="figure-table-number">
              Mean, {display.unitLabel}
            </th>
            <th scope="col">Not told apart from</th>
            <th scope="col">Compare</th>
          </tr>
        </thead>
        <tbody>
          {places.map((place) => {
            const { contender } = place;
            const mark = contender.key === choice.a ? 'A' : contender.key === choice.b ? 'B' : null;
            return (
              <tr key={contender.key}>
                <td>
                  <strong>{place.place}</strong>
                </td>
                <td className="compare-nowrap">{placeRangeWords(place)}</td>
                <th scope="row">
                  {contender.label}
                  {contender.isSimulated ? <span className="compare-soft"> simulated</span> : null}
                </th>
                <td className="figure-table-number">{place.count}</td>
                <td className="figure-table-number">{display.formatNumber(place.mean)}</td>
                <td>{notSeparatedWords(place, places)}</td>
                <td className="compare-nowrap">
                  {mark === null ? (
                    <Link
                      className="compare-link"
                      href={compareAddress({
                        ...choice,
                        b: contender.key,
                        sessionIds: null,
                        isForced: false,
                      })}
                    >
                      with A
                    </Link>
                  ) : (
                    `is ${mark}`
                  )}
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </div>
  );
}
