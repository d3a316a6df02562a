import { useSettings } from '../../api-client/ConnectionContext.tsx';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { Page } from '../../ui/Panel.tsx';
import { useChosenFile } from '../../ui/use-chosen-file.ts';
import { BackupList } from './BackupList.tsx';
import { BackupRulePanel } from './BackupRulePanel.tsx';
import { RestorePanel } from './RestorePanel.tsx';
import './backup.css';

/** Copies of the data, and the way back from one of them. */
export function BackupsPage() {
  const settings = useSettings();
  const choice = useChosenFile();
  if (settings === null) return <Page title="Backups">Waiting for the program.</Page>;
  return (
    <Page title="Backups" actions={<LinkButton href="/setup">Back to Setup</LinkButton>}>
      <div className="backup-panels">
        <RestorePanel choice={choice} />
        <BackupList
          onRestore={({ path, fileName }) =>
            choice.choose({ source: { from: 'path', path }, name: fileName })
          }
        />
        <BackupRulePanel rule={settings.backup} />
      </div>
    </Page>
  );
}
