import { useSettings } from '../../api-client/ConnectionContext.tsx';
import type { FormUnits } from './tool-form.ts';

/** What the program starts with; the chosen ones come with the settings. */
const usual: FormUnits = { torqueUnit: 'Nm', currency: 'EUR' };

export function useFormUnits(): FormUnits {
  const settings = useSettings();
  return settings === null ? usual : { torqueUnit: settings.torqueUnit, currency: settings.currency };
}
