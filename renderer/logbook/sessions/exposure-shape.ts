import { assertNever } from '../../../shared-lib/assert-never.ts';
import type { Exposure } from '../../../shared-lib/run-sheet/session-model.ts';
import type { StateShapeName } from '../../ui/StateShape.tsx';

export function exposureShape(state: Exposure['state']): StateShapeName | null {
  switch (state) {
    case 'below':
      return null;
    case 'actionReached':
      return 'caution';
    case 'limitReached':
      return 'fault';
    default:
      return assertNever(state, 'This state of exposure has no shape');
  }
}
