import { Notice } from '../ui/Notice.tsx';

export function HangingWeightCaution() {
  return (
    <Notice kind="caution">
      Stand clear of a hanging weight, with nothing and nobody under it. Secure the arm against slipping off
      and the weight against sliding, and lower it by hand. Stay within the ratings of transducer, rig, arm
      and hanger. An aid, not a safety assessment: follow your local rules and the makers’ manuals, and have
      the rig checked by a competent person.
    </Notice>
  );
}
