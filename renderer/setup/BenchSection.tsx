import { useConnection } from '../api-client/ConnectionContext.tsx';
import { useAction } from '../api-client/use-action.ts';
import { useRequest } from '../api-client/use-request.ts';
import { DataList, DataRow } from '../ui/DataRow.tsx';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { LinkButton } from '../ui/LinkButton.tsx';
import { Panel } from '../ui/Panel.tsx';
import { SavedTextField } from './SavedTextField.tsx';

/** The name by which others know this bench, and the benches that something was taken in from. */
export function BenchSection() {
  const connection = useConnection();
  const { result, error, reload } = useRequest('listBenches', {}, 'catalogueChanged');
  const naming = useAction();
  const save = async (name: string): Promise<boolean> => {
    const isSaved = await naming.run(() => connection.request('nameBench', { name }));
    if (isSaved) reload();
    return isSaved;
  };
  const own = result?.benches.find(({ isOwn }) => isOwn);
  const others = result?.benches.filter(({ isOwn }) => !isOwn) ?? [];
  return (
    <Panel title="Bench" lead="Stands in reports and data packages, and beside your trials on other benches.">
      <FailureNotice error={error} />
      {result === null ? null : (
        <SavedTextField
          label="Name of this bench"
          saved={own?.name ?? ''}
          save={save}
          error={naming.error}
          placeholder="Bench 1"
          maxLength={80}
          isRequired={own !== undefined}
        />
      )}
      {others.length === 0 ? null : (
        <DataList label="Other benches">
          {others.map(({ id, name, trialCount }) => (
            <DataRow key={id} name={name}>
              {trialCount} {trialCount === 1 ? 'trial' : 'trials'} taken in
            </DataRow>
          ))}
        </DataList>
      )}
      <div>
        <LinkButton href="/share/bring-in">Take in data of another bench</LinkButton>
      </div>
    </Panel>
  );
}
