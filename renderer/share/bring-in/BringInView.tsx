import './bring-in.css';
import { ImportsPanel } from './ImportsPanel.tsx';
import { CurvesPanel } from './curves/CurvesPanel.tsx';
import { PackagePanel } from './PackagePanel.tsx';

/** Data packages of other benches and curves from files, looked at before anything is taken in. */
export function BringInView() {
  return (
    <>
      <div className="bring-in-ways">
        <PackagePanel />
        <CurvesPanel />
      </div>
      <ImportsPanel />
    </>
  );
}
