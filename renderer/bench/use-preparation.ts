import { useState } from 'react';
import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import type { Preparation } from '../../shared-lib/run-sheet/setup-model.ts';
import {
  type FieldKey,
  type Found,
  hasPackComeOff,
  type PreparationField,
  preparationFields,
  readPreparation,
  type Typed,
} from './preparation-form.ts';

export interface PreparationDraft {
  readonly fields: readonly PreparationField[];
  readonly prefilled: Preparation;
  readonly typed: Typed;
  readonly type: (key: FieldKey, text: string) => void;
  /** Of the fields whose text cannot be taken. */
  readonly missing: readonly string[];
  readonly found: () => Found;
}

const nothingKnown: Preparation = {
  packRestedV: null,
  packTemperatureC: null,
  toolTemperatureC: null,
  fastener: null,
  fastenerPullsSinceNew: null,
  lubricant: null,
  inletPressureKpa: null,
  hoseBoreMm: null,
  isCarriedOver: false,
};
const nothingTyped: Typed = {};

/** What is typed while a setup is taken up; it belongs to the entry that is shown, and goes with it. */
export function usePreparation(runSheet: BenchStatus['runSheet']): PreparationDraft {
  const [draft, setDraft] = useState<{ readonly entryId: string; readonly typed: Typed } | null>(null);
  const entryId = runSheet?.current?.id ?? null;
  const isWanted = runSheet !== null && !runSheet.isSetupInHand;
  const typed = draft !== null && draft.entryId === entryId ? draft.typed : nothingTyped;
  const fields = isWanted ? preparationFields(runSheet.asks, hasPackComeOff(runSheet)) : [];
  const prefilled = runSheet?.prefilled ?? nothingKnown;
  const reading = readPreparation(fields, prefilled, typed);
  return {
    fields,
    prefilled,
    typed,
    type(key, text) {
      if (entryId !== null) setDraft({ entryId, typed: { ...typed, [key]: text } });
    },
    missing: 'missing' in reading ? reading.missing : [],
    found() {
      if ('missing' in reading) throw new Error('A preparation was taken that cannot be read.');
      return reading.value;
    },
  };
}
