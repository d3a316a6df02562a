import { X } from 'lucide-react';
import { useRef, useState } from 'react';
import { Label, TextArea, TextField as AriaTextField } from 'react-aria-components';
import type { TrialRecord } from '../../../shared-lib/trial/trial-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { Button } from '../../ui/Button.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { ActionRow, Panel } from '../../ui/Panel.tsx';
import { TextField } from '../../ui/TextField.tsx';
import { useFocusWhenGone } from '../../ui/use-focus-when-gone.ts';
import {
  changedSince,
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
  /** What stood as each part was first touched. */
  const [before, setBefore] = useState<NoteDraft>(stored);
  const [typedTag, setTypedTag] = useState('');
  const { note, tags } = { ...stored, ...draft };
  // A tag that was typed and not added yet is meant to be stored too.
  const meant: NoteDraft = { note, tags: withTag(tags, typedTag) };
  const isChanged = !isSameNote(meant, stored);
  // While it is stored from here it would be said, for a moment, to come from elsewhere.
  const changed = isBusy ? [] : changedSince(draft, before, stored);
  const headingRef = useRef<HTMLHeadingElement>(null);
  // What decides between typed and stored, or gives up what was typed, goes away by it.
  const watch = useFocusWhenGone(() => headingRef.current);

  const write = (part: Partial<NoteDraft>) => {
    setBefore({
      note: 'note' in draft ? before.note : stored.note,
      tags: 'tags' in draft ? before.tags : stored.tags,
    });
    setDraft({ ...draft, ...part });
  };
  const takeStored = () => {
    const kept = Object.entries(draft).filter(([part]) => !changed.some((one) => one === part));
    setDraft(Object.fromEntries(kept));
    setBefore(stored);
  };
  const forget = () => {
    setDraft({});
    setTypedTag('');
  };
  const addTag = (tag: string) => {
    write({ tags: withTag(tags, tag) });
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
    <div {...watch}>
      <Panel title="Note and tags" headingRef={headingRef}>
        <AriaTextField
          className="ui-field trial-note"
          value={note}
          onChange={(next) => write({ note: next })}
          maxLength={LONGEST_NOTE}
        >
          <Label className="ui-label">Note</Label>
          <TextArea className="ui-input" rows={3} placeholder="What a reader should know of this trial" />
        </AriaTextField>
        <TagList tags={tags} onRemove={(tag) => write({ tags: tags.filter((kept) => kept !== tag) })} />
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
        {changed.length === 0 ? null : (
          <Notice
            kind="caution"
            live="alert"
            actions={
              <>
                <Button onPress={takeStored}>Take what was stored</Button>
                <Button onPress={() => setBefore(stored)}>Keep mine</Button>
              </>
            }
          >
            {changedWords(changed, stored)}
          </Notice>
        )}
        {isChanged ? (
          <ActionRow>
            <Button
              look="primary"
              isDisabled={changed.length > 0}
              isPending={isBusy}
              onPress={() => void store()}
            >
              Store note and tags
            </Button>
            <Button onPress={forget}>Leave them as they were</Button>
          </ActionRow>
        ) : null}
      </Panel>
    </div>
  );
}

function changedWords(changed: readonly (keyof NoteDraft)[], { note, tags }: NoteDraft): string {
  const parts = changed.map((part) =>
    part === 'note'
      ? `the note ${note === '' ? '(it is empty now)' : `“${note}”`}`
      : `the tags ${tags.length === 0 ? '(there are none now)' : tags.join(', ')}`,
  );
  return `Another window has stored ${parts.join(' and ')} since you began to type. Say which stays.`;
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
