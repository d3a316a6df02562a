export function ComparePlace() {
  return <h1>Compare</h1>;
}
