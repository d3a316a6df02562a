import { X } from 'lucide-react';
import { useState } from 'react';
import { Label, TextArea, TextField as AriaTextField } from 'react-aria-components';
import type { TrialRecord } from '../../../shared-lib/trial/trial-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { Button } from '../../ui/Button.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { ActionRow, Panel } from '../../ui/Panel.tsx';
import { TextField } from '../../ui/TextField.tsx';
import {
  isSameNote,
  LONGEST_NOTE,
  LONGEST_TAG,
  MOST_TAGS,
  type NoteDraft,
  storedNote,
  suggestedTags,
  withTag,
} from './note-draft.ts';

/** Note and tags of a trial. What is typed stands until it is stored or given up, whatever happens meanwhile. */
export function NotePanel({ record }: { readonly record: TrialRecord }) {
  const connection = useConnection();
  const { run, isBusy, error } = useAction();
  const stored = storedNote(record.annotations);
  // Only what was touched: the other may be changed meanwhile, from another window.
  const [draft, setDraft] = useState<Partial<NoteDraft>>({});
  const [typedTag, setTypedTag] = useState('');
  const { note, tags } = { ...stored, ...draft };
  // A tag that was typed and not added yet is meant to be stored too.
  const meant: NoteDraft = { note, tags: withTag(tags, typedTag) };
  const isChanged = !isSameNote(meant, stored);

  const forget = () => {
    setDraft({});
    setTypedTag('');
  };
  const addTag = (tag: string) => {
    setDraft({ ...draft, tags: withTag(tags, tag) });
    setTypedTag('');
  };
  const store = async () => {
    const { id: trialId } = record.summary;
    const isStored = await run(() =>
      connection.request('annotateTrial', { trialId, note: meant.note.trim(), tags: [...meant.tags] }),
    );
    if (isStored) forget();
  };

  return (
    <Panel title="Note and tags">
      <AriaTextField
        className="ui-field trial-note"
        value={note}
        onChange={(next) => setDraft({ ...draft, note: next })}
        maxLength={LONGEST_NOTE}
      >
        <Label className="ui-label">Note</Label>
        <TextArea className="ui-input" rows={3} placeholder="What a reader should know of this trial" />
      </AriaTextField>
      <TagList
        tags={tags}
        onRemove={(tag) => setDraft({ ...draft, tags: tags.filter((kept) => kept !== tag) })}
      />
      <TextField
        label="Add a tag"
        value={typedTag}
        onChange={setTypedTag}
        onEnter={() => addTag(typedTag)}
        maxLength={LONGEST_TAG}
        isDisabled={tags.length >= MOST_TAGS}
        {...(tags.length >= MOST_TAGS ? { help: `There are ${MOST_TAGS}, which is the most.` } : {})}
      />
      <TagSuggestions tags={tags} typed={typedTag} onAdd={addTag} />
      <FailureNotice error={error} />
      {isChanged ? (
        <ActionRow>
          <Button look="primary" isPending={isBusy} onPress={() => void store()}>
            Store note and tags
          </Button>
          <Button onPress={forget}>Leave them as they were</Button>
        </ActionRow>
      ) : null}
    </Panel>
  );
}

interface TagListProps {
  readonly tags: readonly string[];
  readonly onRemove: (tag: string) => void;
}

function TagList({ tags, onRemove }: TagListProps) {
  if (tags.length === 0) return null;
  return (
    <ul className="trial-tags" aria-label="Tags">
      {tags.map((tag) => (
        <li key={tag}>
          <Button aria-label={`Take out the tag ${tag}`} onPress={() => onRemove(tag)}>
            {tag}
            <X aria-hidden="true" size={16} />
          </Button>
        </li>
      ))}
    </ul>
  );
}

interface TagSuggestionsProps {
  readonly tags: readonly string[];
  readonly typed: string;
  readonly onAdd: (tag: string) => void;
}

function TagSuggestions({ tags, typed, onAdd }: TagSuggestionsProps) {
  const { result } = useRequest('listTags', {}, 'trialsChanged');
  const suggested = suggestedTags(result?.tags ?? [], tags, typed);
  if (suggested.length === 0 || tags.length >= MOST_TAGS) return null;
  return (
    <div className="trial-tags" role="group" aria-label="Tags in use">
      <span className="trial-aside">In use:</span>
      {suggested.map((tag) => (
        <Button key={tag} look="quiet" aria-label={`Add the tag ${tag}`} onPress={() => onAdd(tag)}>
          {tag}
        </Button>
      ))}
    </div>
  );
}
