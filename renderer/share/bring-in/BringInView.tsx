import { useSearchParams } from 'wouter';
import { ChoiceField } from '../../ui/ChoiceField.tsx';
import './bring-in.css';
import { CurvesPanel } from './curves/CurvesPanel.tsx';
import { ImportsPanel } from './ImportsPanel.tsx';
import { PackagePanel } from './PackagePanel.tsx';

const ways = [
  { key: 'package', label: 'Data package' },
  { key: 'curves', label: 'Curves of a file' },
] as const;

/** Data packages of other benches and curves from files, looked at before anything is taken in. */
export function BringInView() {
  const [params, setParams] = useSearchParams();
  const way = params.get('way') === 'curves' ? 'curves' : 'package';
  return (
    <>
      <ChoiceField
        label="What comes in"
        choices={ways}
        selected={way}
        onSelect={(key) =>
          setParams(
            (before) => {
              const next = new URLSearchParams(before);
              next.set('way', key);
              return next;
            },
            { replace: true },
          )
        }
      />
      {way === 'package' ? <PackagePanel /> : <CurvesPanel />}
      <ImportsPanel />
    </>
  );
}
