import { useEffect, useState } from 'react';
import { ListBox, ListBoxItem, Text } from 'react-aria-components';
import { AppError } from '../../../shared-lib/app-error.ts';
import type { Subject } from '../../../shared-lib/publishing/publishing-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { Button } from '../../ui/Button.tsx';
import { ChoiceField } from '../../ui/ChoiceField.tsx';
import { Dialog } from '../../ui/Dialog.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { TextField } from '../../ui/TextField.tsx';
import { compareAddress } from '../../compare/compare-address.ts';
import { recentComparisons } from './recent-comparisons.ts';
import {
  kindOf,
  loadOptions,
  type SubjectKind,
  subjectKinds,
  type SubjectOption,
} from './subject-options.ts';

interface SubjectDialogProps {
  readonly current: Subject;
  readonly onChoose: (subject: Subject) => void;
  readonly onClose: () => void;
}

/** Of what kind, then which: a press on one shows it. */
export function SubjectDialog({ current, onChoose, onClose }: SubjectDialogProps) {
  const [kind, setKind] = useState<SubjectKind>(kindOf(current));
  const [search, setSearch] = useState('');
  const { options, error } = useOptions(kind, search);
  return (
    <Dialog
      title="What is published"
      isOpen
      onClose={onClose}
      actions={
        <Button look="quiet" onPress={onClose}>
          Leave it as it is
        </Button>
      }
    >
      <ChoiceField
        label="What is published"
        isLabelHidden
        choices={subjectKinds}
        selected={kind}
        onSelect={setKind}
      />
      {kind === 'trial' ? (
        <TextField
          label="Search"
          value={search}
          onChange={setSearch}
          maxLength={200}
          help="Part of the tool's name, the setup, a note or a tag."
        />
      ) : null}
      <FailureNotice error={error} />
      {options === null ? (
        error === null ? (
          <p role="status">Looking up what there is.</p>
        ) : null
      ) : options.length === 0 ? (
        <p role="status">{nothingWords[kind]}</p>
      ) : (
        <ListBox
          aria-label={labels[kind]}
          className="share-subject-list"
          selectionMode="single"
          selectionBehavior="replace"
          items={options}
          onAction={(key) => {
            const chosen = options.find((one) => one.key === key);
            if (chosen !== undefined) onChoose(chosen.subject);
          }}
        >
          {({ key, label, note }) => (
            <ListBoxItem id={key} textValue={label} className="ui-select-item">
              <Text slot="label">
                {label} <span className="share-option-note">{note}</span>
              </Text>
            </ListBoxItem>
          )}
        </ListBox>
      )}
      {kind === 'comparison' ? (
        <div>
          <LinkButton href={compareAddress()}>Choose two in Compare</LinkButton>
        </div>
      ) : null}
    </Dialog>
  );
}

const labels: Record<SubjectKind, string> = {
  comparison: 'Comparisons that were shown here last',
  trial: 'Kept trials, newest first',
  session: 'Sessions, newest first',
  calibration: 'Calibrations of the transducer on the bench',
  standings: 'Tables of standings and their editions',
  everything: 'Everything',
};

const nothingWords: Record<SubjectKind, string> = {
  comparison: 'No comparison was shown here yet. Choose two in Compare, then press Share there.',
  trial: 'No kept trial is found.',
  session: 'There is no session yet.',
  calibration: 'The transducer on the bench has no calibration yet.',
  standings: 'There is no table of standings yet.',
  everything: 'Nothing is stored yet.',
};

interface Loaded {
  readonly options: readonly SubjectOption[] | null;
  readonly error: AppError | null;
}

function useOptions(kind: SubjectKind, search: string): Loaded {
  const connection = useConnection();
  const key = `${kind} ${search}`;
  const [loaded, setLoaded] = useState<Loaded & { readonly key: string }>({
    key: '',
    options: null,
    error: null,
  });
  useEffect(() => {
    let isWanted = true;
    loadOptions(connection, kind, { search, recent: recentComparisons() }).then(
      (options) => {
        if (isWanted) setLoaded({ key, options, error: null });
      },
      (refusal: unknown) => {
        if (!(refusal instanceof AppError)) throw refusal;
        if (isWanted) setLoaded({ key, options: null, error: refusal });
      },
    );
    return () => {
      isWanted = false;
    };
  }, [connection, kind, search, key]);
  // What was found for another search may stand until the new answer is there; of another kind not.
  return loaded.key.split(' ', 1)[0] === kind ? loaded : { options: null, error: null };
}
