import { Link } from 'wouter';
import { useRequest } from '../../api-client/use-request.ts';
import { ShareLink } from '../../share/ShareLink.tsx';
import { Button } from '../../ui/Button.tsx';
import { EmptyState } from '../../ui/EmptyState.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { calibrateAddresses } from '../calibrate-addresses.ts';
import { SubPage } from '../SubPage.tsx';
import './report.css';
import { ReportDocument } from './ReportDocument.tsx';

/** A calibration as a document, on screen and on paper. */
export function ReportPage({ calibrationId }: { readonly calibrationId: string }) {
  const { result: report, error } = useRequest('getCalibrationReport', { calibrationId }, 'trialsChanged');
  const isThis = report?.version.id === calibrationId;
  return (
    <SubPage
      title="Calibration report"
      actions={
        <>
          <Button look="primary" isDisabled={!isThis} onPress={() => window.print()}>
            Print
          </Button>
          {isThis ? (
            <ShareLink
              subject={{ kind: 'calibration', calibrationId }}
              of="this calibration"
              view={report.result === null ? 'report' : 'chart'}
            />
          ) : null}
        </>
      }
    >
      <FailureNotice error={error} />
      {error === null || isThis ? null : (
        <EmptyState
          title="No such report"
          actions={<Link href={calibrateAddresses.overview}>All calibrations</Link>}
        >
          <p>Reports stand with their calibration, the one in use and all earlier ones.</p>
        </EmptyState>
      )}
      {isThis ? <ReportDocument report={report} /> : null}
    </SubPage>
  );
}
