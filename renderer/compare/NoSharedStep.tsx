import { LinkButton } from '../ui/LinkButton.tsx';
import { Panel } from '../ui/Panel.tsx';
import { SelectField } from '../ui/SelectField.tsx';
import { ActionRow } from '../ui/Panel.tsx';
import type { ListedContender, ListedContenders } from './choose-pair.ts';
import { stepsSentence } from './picker-options.ts';

interface NoSharedStepProps {
  readonly listed: ListedContenders;
  readonly a: ListedContender;
  readonly b: ListedContender;
  readonly onChoose: (a: string, b: string) => void;
}

/** Two that were chosen, but nothing that both did. */
export function NoSharedStep({ listed, a, b, onChoose }: NoSharedStepProps) {
  const options = listed.contenders.map(({ key, label }) => ({ key, label }));
  return (
    <>
      <div className="compare-pickers compare-pickers-two" role="search" aria-label="What is compared">
        <SelectField
          label="A"
          options={options}
          selected={a.key}
          onSelect={(key) => onChoose(key, key === b.key ? a.key : b.key)}
        />
        <SelectField
          label="B"
          options={options}
          selected={b.key}
          onSelect={(key) => onChoose(key === a.key ? b.key : a.key, key)}
        />
      </div>
      <Panel
        title="These two have no step in common"
        lead="Only trials of one kind, direction and planned time are compared with each other."
      >
        <ul className="compare-steps">
          <li>{stepsSentence(a)}</li>
          <li>{stepsSentence(b)}</li>
        </ul>
        <ActionRow>
          <LinkButton href="/bench">Go to the Bench</LinkButton>
        </ActionRow>
      </Panel>
    </>
  );
}
