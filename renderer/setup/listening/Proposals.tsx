import type { ProfileProposal } from '../../../shared-lib/amplifier/listening-model.ts';
import type { AmplifierProfile } from '../../../shared-lib/amplifier/amplifier-profile.ts';
import { Button } from '../../ui/Button.tsx';
import { ActionRow } from '../../ui/Panel.tsx';
import { visibleLine } from '../amplifier-facts.ts';
import { describePort, describeProfile } from '../profiles/profile-sentences.ts';
import { percentWords } from './listening-sentences.ts';

interface ProposalsProps {
  readonly proposals: readonly ProfileProposal[];
  readonly isBusy: boolean;
  readonly onUse: (profile: AmplifierProfile) => void;
  readonly onAdjust: (profile: AmplifierProfile) => void;
}

export function Proposals({ proposals, isBusy, onUse, onAdjust }: ProposalsProps) {
  if (proposals.length === 0) return null;
  return (
    <ol className="proposals" aria-label="Ways to read the lines, the best first">
      {proposals.map(({ profile, reasons, readableShare }, place) => (
        // By place: the names may change from one second to the next, and the button under a hand must stay.
        <li key={place} className="proposal">
          <div className="proposal-text">
            <h4>{describeProfile(profile)}</h4>
            <p>
              Reads {percentWords(readableShare)} of the lines. {describePort(profile)}.{' '}
              <code className="setup-line">{visibleLine(profile.example)}</code>
            </p>
            <ul className="proposal-reasons">
              {reasons.map((reason) => (
                <li key={reason}>{reason}</li>
              ))}
            </ul>
          </div>
          <ActionRow>
            <Button
              look={place === 0 ? 'primary' : 'plain'}
              isPending={isBusy}
              aria-label={`Use this: ${describeProfile(profile)}`}
              onPress={() => onUse(profile)}
            >
              Use this
            </Button>
            <Button aria-label={`Adjust: ${describeProfile(profile)}`} onPress={() => onAdjust(profile)}>
              Adjust
            </Button>
          </ActionRow>
        </li>
      ))}
    </ol>
  );
}
