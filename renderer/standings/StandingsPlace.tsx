export function StandingsPlace() {
  return <h1>Standings</h1>;
}
