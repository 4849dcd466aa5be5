/** Cautions, each where the work it is about stands on the page. Shown only where the plan has such work. */
import type { Matrix } from '../matrix/matrix.js';

export function opticsCaution({ plan }: Matrix): string {
  const optical = plan.model.endpoints.some(({ media }) => media === 'fibre' || media === 'fc');
  return optical
    ? caution(
        'Optical ports are laser sources: never look into a port or a fibre end, and cap what is not connected.',
      )
    : '';
}

export function pullCaution(): string {
  return caution(
    'Pull a cable or a controller only when its group is shown redundant, and only with the agreement of whoever runs the site.',
  );
}

export function probeCaution(): string {
  return caution('Probe only networks you are authorised on.');
}

function caution(words: string): string {
  return `<p class="caution"><b>Caution.</b> ${words}</p>`;
}
