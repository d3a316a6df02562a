import { Link } from 'wouter';
import type { CatalogueTool } from '../../../shared-lib/catalogue/catalogue-model.ts';
import type { ClaimCheck } from '../../../shared-lib/comparison/comparison-model.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { levelWords } from '../../../shared-lib/level-words.ts';
import { Panel } from '../../ui/Panel.tsx';
import { StateShape, type StateShapeName } from '../../ui/StateShape.tsx';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import { useReloadOn } from '../use-catalogue.ts';
import { boundsWords, claimTitle, claimVerdictWords, uncertaintyWords } from './claim-check-sentences.ts';

const otherEvents = ['trialsChanged'] as const;

const shapes: Readonly<Record<ClaimCheck['verdict'], StateShapeName>> = {
  reached: 'good',
  notReached: 'caution',
  cannotTell: 'off',
  notComparable: 'off',
  noTrials: 'off',
};

/** What the maker claims beside what was pulled. */
export function ClaimChecksPanel({ tool }: { readonly tool: CatalogueTool }) {
  const toolId = tool.tool.id;
  const { result, error, reload } = useRequest('checkClaims', { toolId }, 'catalogueChanged');
  useReloadOn(otherEvents, reload);
  const checks = result?.checks ?? [];
  return (
    <Panel
      title="Claims checked"
      lead="Each claim beside the newest trials of the kind that can bear it out."
    >
      <FailureNotice error={error} />
      {tool.details.claims.length === 0 ? (
        <p className="tool-soft">
          No claim is entered. Put in what the maker states, and it is checked here.
        </p>
      ) : null}
      {checks.length === 0 ? null : (
        <ul className="tool-checks" aria-label="Claims checked">
          {checks.map((check) => (
            <li key={check.claimId}>
              <Check check={check} />
            </li>
          ))}
        </ul>
      )}
    </Panel>
  );
}

function Check({ check }: { readonly check: ClaimCheck }) {
  const torque = useTorqueDisplay();
  const { verdict, sentence, cautions, trialIds, contender } = check;
  const figures = [boundsWords(check, torque), uncertaintyWords(check, torque)].filter(
    (words) => words !== null,
  );
  return (
    <>
      <h3>{claimTitle(check, (torqueNm) => levelWords(torqueNm, torque.unit))}</h3>
      <p className="tool-verdict">
        <StateShape shape={shapes[verdict]} /> <strong>{claimVerdictWords[verdict]}</strong>
      </p>
      <p>{sentence}</p>
      {figures.length === 0 ? null : <p className="tool-soft">{figures.join(' ')}</p>}
      {cautions.length === 0 ? null : (
        <ul className="tool-cautions">
          {cautions.map((caution) => (
            <li key={caution}>{caution}</li>
          ))}
        </ul>
      )}
      {trialIds.length === 0 ? null : (
        <p className="tool-trials">
          {contender === null ? 'Trials' : contender.label}:{' '}
          {trialIds.map((trialId, index) => (
            <Link key={trialId} href={`/logbook/${encodeURIComponent(trialId)}`}>
              trial {index + 1}
            </Link>
          ))}
        </p>
      )}
    </>
  );
}
