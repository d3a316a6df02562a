import { OverlayView } from './overlay/OverlayView.tsx';
import { ReplayView } from './replay/ReplayView.tsx';
import { BringInView } from './bring-in/BringInView.tsx';

/** What others get to see, previewed as it will be: pictures, reports, data, replays, the overlay; and what comes from others. */
export function SharePlace() {
  return (
    <>
      <ReplayView subject={null} />
      <OverlayView />
      <BringInView />
    </>
  );
}
