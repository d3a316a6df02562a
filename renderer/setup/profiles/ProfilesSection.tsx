import { type RefObject, useEffect, useRef, useState } from 'react';
import { FileTrigger } from 'react-aria-components';
import type { AmplifierProfile } from '../../../shared-lib/amplifier/amplifier-profile.ts';
import { readProfileFile, writeProfileFile } from '../../../shared-lib/amplifier/profile-file.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { Button } from '../../ui/Button.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { ActionRow, Panel } from '../../ui/Panel.tsx';
import { saveFile } from '../../ui/save-file.ts';
import { SelectField } from '../../ui/SelectField.tsx';
import { visibleLine } from '../amplifier-facts.ts';
import { freeName } from './adopt-profile.ts';
import { ProfileEditor, type ProfileEditing } from './ProfileEditor.tsx';
import { describePort, describeProfile } from './profile-sentences.ts';
import './profiles.css';
import type { ProfileList } from './use-profiles.ts';

interface ProfilesSectionProps {
  readonly profiles: ProfileList;
  readonly editing: ProfileEditing | null;
  readonly onEdit: (editing: ProfileEditing | null) => void;
}

export function ProfilesSection({ profiles, editing, onEdit }: ProfilesSectionProps) {
  const [done, setDone] = useState<Done | null>(null);
  const newRef = useRef<HTMLButtonElement>(null);
  const isEditing = editing !== null;
  const wasEditing = useRef(isEditing);
  useEffect(() => {
    // The editor takes the focus with it.
    if (wasEditing.current && !isEditing) newRef.current?.focus();
    wasEditing.current = isEditing;
  }, [isEditing]);
  const edit = (next: ProfileEditing) => {
    setDone(null);
    onEdit(next);
  };
  return (
    <Panel
      title="Line profiles"
      lead="A profile says what an amplifier’s port and lines look like. Ready-made ones cover usual forms; own ones are made from another, by listening, or from a file."
    >
      <DoneNotice done={done} onDone={setDone} onChanged={profiles.reload} />
      {editing === null ? (
        <>
          <OwnProfiles profiles={profiles} onEdit={edit} onDone={setDone} />
          <NewProfile profiles={profiles} onEdit={edit} buttonRef={newRef} />
        </>
      ) : (
        <ProfileEditor
          key={editing.start.id}
          editing={editing}
          onSaved={(profile) => {
            profiles.reload();
            setDone({ did: 'saved', profile });
            onEdit(null);
          }}
          onCancel={() => onEdit(null)}
        />
      )}
    </Panel>
  );
}

type Done = { readonly did: 'saved' | 'deleted'; readonly profile: AmplifierProfile };

interface DoneNoticeProps {
  readonly done: Done | null;
  readonly onDone: (done: Done | null) => void;
  readonly onChanged: () => void;
}

function DoneNotice({ done, onDone, onChanged }: DoneNoticeProps) {
  const connection = useConnection();
  const { run, isBusy, error } = useAction();
  const takeBack = async (profile: AmplifierProfile) => {
    if (!(await run(() => connection.request('saveProfile', { profile })))) return;
    onDone(null);
    onChanged();
  };
  return (
    <div role="status" className="setup-status">
      {done === null ? null : done.did === 'saved' ? (
        <Notice kind="information">
          “{done.profile.name}” is saved. It holds from the next connection of an amplifier on.
        </Notice>
      ) : (
        <Notice
          kind="information"
          actions={
            <Button isPending={isBusy} onPress={() => void takeBack(done.profile)}>
              Undo
            </Button>
          }
        >
          “{done.profile.name}” is deleted. Trials made with it keep their own record of it.
        </Notice>
      )}
      <FailureNotice error={error} />
    </div>
  );
}

interface OwnProfilesProps {
  readonly profiles: ProfileList;
  readonly onEdit: (editing: ProfileEditing) => void;
  readonly onDone: (done: Done) => void;
}

function OwnProfiles({ profiles, onEdit, onDone }: OwnProfilesProps) {
  const connection = useConnection();
  const { run, error } = useAction();
  const remove = async (profile: AmplifierProfile) => {
    if (!(await run(() => connection.request('deleteProfile', { profileId: profile.id })))) return;
    profiles.reload();
    onDone({ did: 'deleted', profile });
  };
  return (
    <>
      <FailureNotice error={error ?? profiles.error} />
      {profiles.own.length === 0 ? (
        <p className="setup-aside">No own profile yet.</p>
      ) : (
        <ul className="setup-kept" aria-label="Own profiles">
          {profiles.own.map((profile) => (
            <li key={profile.id}>
              <div className="setup-kept-text">
                <p>
                  <strong>{profile.name}</strong>{' '}
                  <code className="setup-line">{visibleLine(profile.example)}</code>
                </p>
                <p className="setup-aside">
                  {describeProfile(profile)}. {describePort(profile)}.
                </p>
              </div>
              <ActionRow>
                <Button
                  aria-label={`Change ${profile.name}`}
                  onPress={() => onEdit({ start: profile, isNew: false, path: null })}
                >
                  Change
                </Button>
                <Button
                  look="quiet"
                  aria-label={`Export ${profile.name}`}
                  onPress={() => saveFile(fileNameOf(profile), 'application/json', writeProfileFile(profile))}
                >
                  Export
                </Button>
                <Button
                  look="quiet"
                  aria-label={`Delete ${profile.name}`}
                  onPress={() => void remove(profile)}
                >
                  Delete
                </Button>
              </ActionRow>
            </li>
          ))}
        </ul>
      )}
    </>
  );
}

interface NewProfileProps {
  readonly profiles: ProfileList;
  readonly buttonRef: RefObject<HTMLButtonElement | null>;
  readonly onEdit: (editing: ProfileEditing) => void;
}

function NewProfile({ profiles, buttonRef, onEdit }: NewProfileProps) {
  const { run, error } = useAction();
  const [chosenId, setChosenId] = useState<string | null>(null);
  const source = profiles.all.find(({ id }) => id === chosenId) ?? profiles.all[0];
  const taken = profiles.all.map(({ name }) => name);

  const importFile = (file: File) =>
    run(async () => {
      const profile = readProfileFile(await file.text());
      const name = freeName(profile.name, taken);
      onEdit({ start: { ...profile, id: crypto.randomUUID(), name }, isNew: true, path: null });
    });

  return (
    <>
      <div className="setup-add">
        <SelectField
          label="A new profile from"
          options={profiles.all.map(({ id, name, example }) => ({
            key: id,
            label: name,
            note: `for instance ${visibleLine(example)}`,
          }))}
          selected={source?.id ?? null}
          onSelect={setChosenId}
        />
        <Button
          ref={buttonRef}
          isDisabled={source === undefined}
          onPress={() => {
            if (source === undefined) return;
            const name = freeName(`${source.name}, own`, taken);
            onEdit({ start: { ...source, id: crypto.randomUUID(), name }, isNew: true, path: null });
          }}
        >
          Make a profile from it
        </Button>
        <FileTrigger
          acceptedFileTypes={['application/json', '.json']}
          onSelect={(files) => {
            const file = files?.[0];
            if (file !== undefined) void importFile(file);
          }}
        >
          <Button>Import from a file</Button>
        </FileTrigger>
      </div>
      <FailureNotice error={error} />
    </>
  );
}

/** What every file system takes. */
function fileNameOf({ name }: AmplifierProfile): string {
  const plain = name
    .toLowerCase()
    .replaceAll(/[^\p{L}\p{N}]+/gu, '-')
    .replaceAll(/^-|-$/g, '');
  return `profile-${plain === '' ? 'own' : plain}.json`;
}
