import { useState } from 'react';
import type { Arm, Site, Standard, Weight } from '../../../shared-lib/calibration/standards-model.ts';
import { useStatus } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { Button } from '../../ui/Button.tsx';
import { formatDay } from '../../ui/date-time.ts';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { localDay } from '../local-day.ts';
import { ArmFields } from './ArmFields.tsx';
import { DemoStandards } from './DemoStandards.tsx';
import { SiteFields } from './SiteFields.tsx';
import { StandardDialog } from './StandardDialog.tsx';
import { StandardList } from './StandardList.tsx';
import './standards.css';
import {
  armForm,
  type ArmForm,
  emptyArmForm,
  emptySiteForm,
  emptyWeightForm,
  readArmForm,
  readSiteForm,
  readWeightForm,
  siteForm,
  type SiteForm,
  weightForm,
  type WeightForm,
} from './standards-form.ts';
import {
  armWords,
  certificateState,
  certificateWords,
  nextName,
  siteWords,
  weightWords,
} from '../../../shared-lib/calibration/words/standards-sentences.ts';
import { useStandards } from './use-standards.ts';
import { WeightFields } from './WeightFields.tsx';

/** `standard` null: a new one. */
type Editing =
  | { readonly kind: 'weight'; readonly id: string; readonly standard: Weight | null }
  | { readonly kind: 'arm'; readonly id: string; readonly standard: Arm | null }
  | { readonly kind: 'site'; readonly id: string; readonly standard: Site | null };

/** Weights, arms and places: entered once, used by every calibration after that. */
export function StandardsPanel() {
  const { standards, error, save, remove } = useStandards();
  const isSimulated = useStatus()?.amplifier.source === 'simulated';
  const [editing, setEditing] = useState<Editing | null>(null);
  const [removed, setRemoved] = useState<Standard | null>(null);
  const action = useAction();
  const close = () => setEditing(null);
  const add = (kind: Editing['kind']) => setEditing({ kind, id: crypto.randomUUID(), standard: null });
  const takeOff = (standard: Standard) =>
    action.run(async () => {
      await remove({ kind: standard.kind, id: standardId(standard) });
      setRemoved(standard);
    });
  const takeBack = (standard: Standard) =>
    action.run(async () => {
      await save(standard);
      setRemoved(null);
    });
  const today = localDay(new Date());

  if (standards === null) return <FailureNotice error={error} />;
  return (
    <>
      <FailureNotice error={error ?? action.error} />
      <div role="status" className="standards-status">
        {removed === null ? null : (
          <Notice
            kind="information"
            actions={
              <Button isPending={action.isBusy} onPress={() => void takeBack(removed)}>
                Undo
              </Button>
            }
          >
            “{standardName(removed)}” is off the list. Calibrations made with it keep their own copy.
          </Notice>
        )}
      </div>
      {isSimulated ? <DemoStandards standards={standards} save={save} /> : null}
      <StandardList
        title="Weights"
        lead="Each piece by itself, so that a level says what hangs. Their tolerances add up."
        emptyWords="No weight yet. A calibration needs at least one whose mass is known."
        addLabel="Add a weight"
        rows={standards.weights.map((weight) => ({
          id: weight.id,
          name: weight.name,
          facts: weightWords(weight),
          certificate: {
            words: certificateWords(weight, today, formatDay),
            isOutOfDate: certificateState(weight, today) === 'outOfDate',
          },
          onChange: () => setEditing({ kind: 'weight', id: weight.id, standard: weight }),
          onRemove: () => void takeOff({ kind: 'weight', weight }),
        }))}
        onAdd={() => add('weight')}
      />
      <StandardList
        title="Arms"
        lead="From the transducer’s axis to where the weights hang. Usually what limits a calibration."
        emptyWords="No arm yet. Its length counts as much as the mass."
        addLabel="Add an arm"
        rows={standards.arms.map((arm) => ({
          id: arm.id,
          name: arm.name,
          facts: armWords(arm),
          certificate: null,
          onChange: () => setEditing({ kind: 'arm', id: arm.id, standard: arm }),
          onRemove: () => void takeOff({ kind: 'arm', arm }),
        }))}
        onAdd={() => add('arm')}
      />
      <StandardList
        title="Places"
        lead="Where the weights hang: gravity differs by half a percent over the earth."
        emptyWords="No place yet. Latitude and height are enough for gravity."
        addLabel="Add a place"
        rows={standards.sites.map((site) => ({
          id: site.id,
          name: site.name,
          facts: siteWords(site),
          certificate: null,
          onChange: () => setEditing({ kind: 'site', id: site.id, standard: site }),
          onRemove: () => void takeOff({ kind: 'site', site }),
        }))}
        onAdd={() => add('site')}
      />
      {editing === null ? null : (
        <Editor
          key={editing.id}
          editing={editing}
          weightNames={standards.weights.map(({ name }) => name)}
          save={save}
          onClose={close}
        />
      )}
    </>
  );
}

interface EditorProps {
  readonly editing: Editing;
  readonly weightNames: readonly string[];
  readonly save: (standard: Standard) => Promise<void>;
  readonly onClose: () => void;
}

function Editor({ editing, weightNames, save, onClose }: EditorProps) {
  // Another like the one that was saved is another weight, with an id of its own.
  const [id, setId] = useState(editing.id);
  const common = {
    title: editorTitle(editing),
    save,
    onSaved: () => setId(crypto.randomUUID()),
    onClose,
  };
  switch (editing.kind) {
    case 'weight':
      return (
        <StandardDialog<WeightForm>
          {...common}
          start={editing.standard === null ? emptyWeightForm : weightForm(editing.standard)}
          read={(form) => {
            const reading = readWeightForm(form, id);
            return 'value' in reading ? { value: { kind: 'weight', weight: reading.value } } : reading;
          }}
          fields={(form, onChange) => <WeightFields form={form} onChange={onChange} />}
          {...(editing.standard === null
            ? { nextLike: (form) => ({ ...form, name: nextName(form.name, [...weightNames, form.name]) }) }
            : {})}
        />
      );
    case 'arm':
      return (
        <StandardDialog<ArmForm>
          {...common}
          start={editing.standard === null ? emptyArmForm : armForm(editing.standard)}
          read={(form) => {
            const reading = readArmForm(form, id);
            return 'value' in reading ? { value: { kind: 'arm', arm: reading.value } } : reading;
          }}
          fields={(form, onChange) => <ArmFields form={form} onChange={onChange} />}
        />
      );
    case 'site':
      return (
        <StandardDialog<SiteForm>
          {...common}
          start={editing.standard === null ? emptySiteForm : siteForm(editing.standard)}
          read={(form) => {
            const reading = readSiteForm(form, id);
            return 'value' in reading ? { value: { kind: 'site', site: reading.value } } : reading;
          }}
          fields={(form, onChange) => <SiteFields form={form} onChange={onChange} />}
        />
      );
  }
}

function editorTitle({ kind, standard }: Editing): string {
  const words = { weight: 'weight', arm: 'arm', site: 'place' } as const;
  const article = kind === 'arm' ? 'an' : 'a';
  return standard === null ? `Add ${article} ${words[kind]}` : `Change “${standard.name}”`;
}

function standardName(standard: Standard): string {
  switch (standard.kind) {
    case 'weight':
      return standard.weight.name;
    case 'arm':
      return standard.arm.name;
    case 'site':
      return standard.site.name;
  }
}

function standardId(standard: Standard): string {
  switch (standard.kind) {
    case 'weight':
      return standard.weight.id;
    case 'arm':
      return standard.arm.id;
    case 'site':
      return standard.site.id;
  }
}
