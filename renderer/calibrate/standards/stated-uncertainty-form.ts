import type { StatedUncertainty } from '../../../shared-lib/calibration/standards-model.ts';
import type { QuantityReading } from '../../ui/QuantityField.tsx';
import { type FormReader, plainNumberReader } from '../../ui/form-reader.ts';

/** How well a value is known, as typed. Both kinds are kept, so that changing between them loses nothing. */
export interface StatedUncertaintyForm {
  readonly kind: StatedUncertainty['kind'];
  readonly limit: string;
  readonly expanded: string;
  readonly coverageFactor: string;
}

export const emptyStatedUncertainty: StatedUncertaintyForm = {
  kind: 'limit',
  limit: '',
  expanded: '',
  coverageFactor: '2',
};

export const readCoverageFactor = plainNumberReader(1, 5);

export function readStatedUncertainty(
  form: StatedUncertaintyForm,
  ofWhat: string,
  read: (typed: string) => QuantityReading,
  reader: FormReader,
): StatedUncertainty {
  return form.kind === 'limit'
    ? { kind: 'limit', limit: reader.needed(`the limit of ${ofWhat}`, form.limit, read) }
    : {
        kind: 'certificate',
        expanded: reader.needed(`the uncertainty of ${ofWhat}`, form.expanded, read),
        coverageFactor: reader.needed('the coverage factor k', form.coverageFactor, readCoverageFactor),
      };
}

export function statedUncertaintyForm(
  stated: StatedUncertainty,
  write: (value: number) => string,
): StatedUncertaintyForm {
  return stated.kind === 'limit'
    ? { ...emptyStatedUncertainty, kind: 'limit', limit: write(stated.limit) }
    : {
        ...emptyStatedUncertainty,
        kind: 'certificate',
        expanded: write(stated.expanded),
        coverageFactor: String(stated.coverageFactor),
      };
}
