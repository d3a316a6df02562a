import type { ProfileProposal } from '../../../shared-lib/amplifier/listening-model.ts';
import type { AmplifierProfile } from '../../../shared-lib/amplifier/amplifier-profile.ts';
import { Button } from '../../ui/Button.tsx';
import { ActionRow } from '../../ui/Panel.tsx';
import { visibleLine } from '../amplifier-facts.ts';
import { describePort, describeProfile } from '../profiles/profile-sentences.ts';

interface ProposalActions {
  readonly isBusy: boolean;
  readonly onUse: (profile: AmplifierProfile) => void;
  readonly onAdjust: (profile: AmplifierProfile) => void;
}

interface ProposalsProps extends ProposalActions {
  readonly proposals: readonly ProfileProposal[];
}

/** Stands beside the raw lines from the start, so that nothing moves when there is one. */
export function BestProposal({ proposals, ...actions }: ProposalsProps) {
  const [best] = proposals;
  return (
    <section className="proposal proposal-best" aria-label="Best way to read the lines">
      {best === undefined ? (
        <p className="setup-aside">
          How to read the lines will be proposed here, as soon as some of the same form have come.
        </p>
      ) : (
        <Proposal proposal={best} isBest {...actions} />
      )}
    </section>
  );
}

export function OtherProposals({ proposals, ...actions }: ProposalsProps) {
  if (proposals.length < 2) return null;
  return (
    <section aria-label="Other ways to read the lines">
      <h3>Other ways to read them</h3>
      <ol className="proposals">
        {proposals.slice(1).map((proposal, place) => (
          // By place: the names may change from one second to the next, and the button under a hand must stay.
          <li key={place} className="proposal">
            <Proposal proposal={proposal} isBest={false} {...actions} />
          </li>
        ))}
      </ol>
    </section>
  );
}

interface ProposalProps extends ProposalActions {
  readonly proposal: ProfileProposal;
  readonly isBest: boolean;
}

function Proposal({ proposal: { profile, reasons }, isBest, isBusy, onUse, onAdjust }: ProposalProps) {
  const form = describeProfile(profile);
  return (
    <>
      <div className="proposal-text">
        <p>
          <strong>{form}</strong>
        </p>
        <p>
          {describePort(profile)}. <code className="setup-line">{visibleLine(profile.example)}</code>
        </p>
      </div>
      <ActionRow>
        <Button
          look={isBest ? 'primary' : 'plain'}
          isPending={isBusy}
          aria-label={`Use this: ${form}`}
          onPress={() => onUse(profile)}
        >
          Use this
        </Button>
        <Button aria-label={`Adjust: ${form}`} onPress={() => onAdjust(profile)}>
          Adjust
        </Button>
      </ActionRow>
      <ul className="proposal-reasons">
        {reasons.map((reason) => (
          <li key={reason}>{reason}</li>
        ))}
      </ul>
    </>
  );
}
