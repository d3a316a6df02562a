import { useSearchParams } from 'wouter';
import { EmptyState } from '../../ui/EmptyState.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { FieldGrid, Panel } from '../../ui/Panel.tsx';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { SelectField } from '../../ui/SelectField.tsx';
import { calibrateAddresses } from '../calibrate-addresses.ts';
import { SubPage } from '../SubPage.tsx';
import { useVersions } from '../use-versions.ts';
import { CompareView } from './CompareView.tsx';
import { versionOption } from './version-option.ts';

/** Two versions of one transducer against each other; which two stands in the address. */
export function ComparePage() {
  const { versions, active, error } = useVersions();
  const [params, setParams] = useSearchParams();
  const known = (id: string | null) => versions?.find((version) => version.id === id)?.id ?? null;
  const one = known(params.get('one'));
  const other = known(params.get('other')) ?? active?.id ?? null;
  const choose = (name: 'one' | 'other', id: string) =>
    setParams(
      (before) => {
        const next = new URLSearchParams(before);
        next.set(name, id);
        return next;
      },
      { replace: true },
    );
  const options = (versions ?? []).map(versionOption);

  return (
    <SubPage title="Compare two versions">
      <FailureNotice error={error} />
      {versions === null ? null : versions.length < 2 ? (
        <EmptyState
          title="One version, nothing to compare"
          actions={<LinkButton href={calibrateAddresses.overview}>Go to Calibrate</LinkButton>}
        >
          <p>
            Here two calibrations of the same transducer stand against each other: by how much they would read
            the same counts differently, and whether their uncertainties explain it.
          </p>
        </EmptyState>
      ) : (
        <Panel
          title="Difference over the range"
          lead="A what-if: nothing is changed by looking. Trials stay with their version until they are reassigned."
        >
          <FieldGrid>
            <SelectField
              label="This version"
              options={options}
              selected={one}
              onSelect={(id) => choose('one', id)}
            />
            <SelectField
              label="The other"
              options={options}
              selected={other}
              onSelect={(id) => choose('other', id)}
            />
          </FieldGrid>
          {one === null || other === null ? (
            <p>Choose both versions.</p>
          ) : one === other ? (
            <p>Both are the same version; choose another one to compare with.</p>
          ) : (
            <CompareView calibrationId={one} otherId={other} />
          )}
        </Panel>
      )}
    </SubPage>
  );
}
