/** Data packages of other benches and curves from files, looked at before anything is taken in. */
export function BringInView() {
  return null;
}
