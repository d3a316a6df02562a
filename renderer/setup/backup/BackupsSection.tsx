import { useRequest } from '../../api-client/use-request.ts';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { ActionRow, Panel } from '../../ui/Panel.tsx';
import { newestSentence } from './backup-words.ts';
import { BACKUPS_ADDRESS } from './backups-address.ts';

/** In Setup: how old the newest backup is, and the way to all of them. */
export function BackupsSection() {
  const { result, error } = useRequest('listBackups', {}, 'backupsChanged');
  return (
    <Panel title="Backups" lead="Copies of everything that is stored, each read back before it counts.">
      <FailureNotice error={error} />
      {result?.problem == null ? null : <Notice kind="caution">{result.problem}</Notice>}
      {result === null ? null : <p>{newestSentence(result.backups)}</p>}
      <ActionRow>
        <LinkButton href={BACKUPS_ADDRESS}>Back up or restore</LinkButton>
      </ActionRow>
    </Panel>
  );
}
