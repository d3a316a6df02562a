import { useEffect, useRef, useState } from 'react';
import type { AmplifierProfile } from '../../../shared-lib/amplifier/amplifier-profile.ts';
import { checkProfile } from '../../../shared-lib/amplifier/check-profile.ts';
import { exampleLine } from '../../../shared-lib/amplifier/format-amplifier-line.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { Button } from '../../ui/Button.tsx';
import { DataList, DataRow } from '../../ui/DataRow.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { ActionRow } from '../../ui/Panel.tsx';
import { TextField } from '../../ui/TextField.tsx';
import { visibleLine } from '../amplifier-facts.ts';
import { settingsFor } from './adopt-profile.ts';
import { FlagFields } from './FlagFields.tsx';
import { LineFields } from './LineFields.tsx';
import { PortFields } from './PortFields.tsx';
import { type ProfileForm, profileFormFrom, readProfileForm } from './profile-form.ts';
import { KnownFactsFields, SendFields } from './SendFields.tsx';
import { tryLine } from './try-line.ts';

/** What the editor was opened for. */
export interface ProfileEditing {
  /** With the id that it is to be stored under. */
  readonly start: AmplifierProfile;
  readonly isNew: boolean;
  /** The port that is connected with it once it is saved; null: none. */
  readonly path: string | null;
}

interface ProfileEditorProps {
  readonly editing: ProfileEditing;
  readonly onSaved: (profile: AmplifierProfile) => void;
  readonly onCancel: () => void;
}

/** All settings of a profile, with what they mean for a line while they are typed. */
export function ProfileEditor({ editing, onSaved, onCancel }: ProfileEditorProps) {
  const connection = useConnection();
  const { run, isBusy, error } = useAction();
  const [form, setForm] = useState<ProfileForm>(() => profileFormFrom(editing.start));
  const headRef = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    headRef.current?.focus();
    headRef.current?.scrollIntoView({ block: 'start' });
  }, []);

  const judged = judge(form);
  const save = () =>
    run(async () => {
      if (judged.profile === null) return;
      const { profile } = await connection.request('saveProfile', { profile: judged.profile });
      if (editing.path !== null) {
        await connection.request('connectAmplifier', settingsFor(editing.path, profile, profile));
      }
      onSaved(profile);
    });

  return (
    <form
      className="profile-editor"
      onSubmit={(event) => {
        event.preventDefault();
        void save();
      }}
    >
      <h3 ref={headRef} tabIndex={-1}>
        {editing.isNew ? 'New profile' : `Change “${editing.start.name}”`}
      </h3>
      <TextField
        label="Name of the profile"
        value={form.name}
        onChange={(name) => setForm({ ...form, name })}
        problem={form.name.trim() === '' ? 'This is needed.' : null}
        maxLength={80}
      />
      <PortFields form={form} onForm={setForm} />
      <LineFields form={form} onForm={setForm} />
      <FlagFields form={form} onForm={setForm} />
      <KnownFactsFields form={form} onForm={setForm} />
      <SendFields form={form} onForm={setForm} />
      <SampleLines form={form} judged={judged} onForm={setForm} />
      <ProfileProblems judged={judged} />
      <FailureNotice error={error} />
      <ActionRow>
        <Button type="submit" look="primary" isPending={isBusy} isDisabled={judged.profile === null}>
          {editing.path === null ? 'Save this profile' : 'Save it and connect with it'}
        </Button>
        <Button onPress={onCancel}>Leave without saving</Button>
      </ActionRow>
    </form>
  );
}

interface JudgedForm {
  /** Whole and without an error: it can be saved. */
  readonly profile: AmplifierProfile | null;
  readonly sample: string | null;
  readonly errors: readonly string[];
  readonly cautions: readonly string[];
}

function judge(form: ProfileForm): JudgedForm {
  const reading = readProfileForm(form);
  if ('problems' in reading) return { profile: null, sample: null, errors: reading.problems, cautions: [] };
  const findings = checkProfile(reading.profile);
  const sentencesOf = (severity: 'error' | 'caution') =>
    findings.filter((finding) => finding.severity === severity).map(({ sentence }) => sentence);
  const [errors, cautions] = [sentencesOf('error'), sentencesOf('caution')];
  if (errors.length > 0) return { profile: null, sample: null, errors, cautions };
  const sample = exampleLine(reading.profile);
  const tried = form.triedLine.trim();
  const isTriedRead = tried !== '' && tryLine(reading.profile, tried).kind === 'read';
  return { profile: { ...reading.profile, example: isTriedRead ? tried : sample }, sample, errors, cautions };
}

interface SampleLinesProps {
  readonly form: ProfileForm;
  readonly judged: JudgedForm;
  readonly onForm: (form: ProfileForm) => void;
}

function SampleLines({ form, judged, onForm }: SampleLinesProps) {
  const { profile, sample } = judged;
  const tried = profile === null || form.triedLine.trim() === '' ? null : tryLine(profile, form.triedLine);
  return (
    <div className="profile-group" role="group" aria-label="Lines of this profile">
      <h4>Try it</h4>
      <p>
        Such a line would be read:{' '}
        {sample === null ? (
          <span className="setup-aside">once the settings fit together</span>
        ) : (
          <code className="setup-line">{visibleLine(sample)}</code>
        )}
      </p>
      <TextField
        label="Try a line"
        value={form.triedLine}
        onChange={(triedLine) => onForm({ ...form, triedLine })}
        help="Paste one from your amplifier; it is kept as the example where it can be read"
        maxLength={200}
      />
      <div role="status" className="setup-status">
        {tried === null ? null : tried.kind === 'refused' ? (
          <Notice kind="caution">{tried.sentence}</Notice>
        ) : (
          <DataList label="What is read from it">
            {tried.rows.map(({ name, value }) => (
              <DataRow key={name} name={name} kind="figure">
                {value}
              </DataRow>
            ))}
          </DataList>
        )}
      </div>
    </div>
  );
}

function ProfileProblems({ judged: { errors, cautions } }: { readonly judged: JudgedForm }) {
  return (
    <div role="status" className="setup-status">
      {errors.map((sentence) => (
        <Notice key={sentence} kind="fault">
          {sentence}
        </Notice>
      ))}
      {cautions.map((sentence) => (
        <Notice key={sentence} kind="caution">
          {sentence}
        </Notice>
      ))}
    </div>
  );
}
