import { StateShape } from '../ui/StateShape.tsx';
import '../ui/state-shape.css';
import './caution-list.css';

/** What is to be kept in mind, above the figures that it is about. */
export function CautionList({ cautions }: { readonly cautions: readonly string[] }) {
  if (cautions.length === 0) return null;
  return (
    <section className="caution-list" aria-label="Cautions">
      <StateShape shape="caution" />
      <div>
        <strong>{cautions.length === 1 ? 'Caution' : 'Cautions'}</strong>
        <ul className="standings-sentences">
          {cautions.map((caution) => (
            <li key={caution}>{caution}</li>
          ))}
        </ul>
      </div>
    </section>
  );
}
