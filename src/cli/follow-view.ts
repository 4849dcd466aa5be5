/** How following is shown: a table redrawn in place on a terminal, a line a change elsewhere. */
import type { Change } from '../follow/changes.js';
import { changeText } from '../follow/wording.js';
import type { Matrix } from '../matrix/matrix.js';
import { renderFollow } from '../terminal/follow.js';
import type { TextStyle } from '../terminal/style.js';
import type { Output } from './output.js';

export interface FollowView {
  changed(changes: readonly Change[], at: Date): void;
  /** `status`: what is going on, for the last line. */
  show(matrix: Matrix, status: string): void;
  /** Leaves the cursor below the last table. */
  end(): void;
}

const LOG_KEPT = 50;
const ASSUMED_ROWS = 24;

export function followView(
  output: Output,
  style: () => TextStyle,
  form: 'live' | 'lines' | 'json',
): FollowView {
  return form === 'live' ? liveView(output, style) : lineView(output, form);
}

function lineView(output: Output, form: 'lines' | 'json'): FollowView {
  return {
    changed(changes, at) {
      for (const change of changes)
        if (form === 'json')
          output.document(
            `${JSON.stringify({ event: 'change', at: at.toISOString(), ...change, says: changeText(change) })}\n`,
          );
        else output.write(`${clockText(at)}  ${changeText(change)}\n`);
    },
    show() {},
    end() {},
  };
}

function liveView(output: Output, style: () => TextStyle): FollowView {
  const log: { readonly clock: string; readonly text: string }[] = [];
  let drawn = 0;
  let last: { readonly matrix: Matrix; readonly status: string } | undefined;
  const draw = (): void => {
    if (last === undefined) return;
    const height = output.rows ?? ASSUMED_ROWS;
    const lines = renderFollow(last.matrix, { log, status: last.status, height }, style());
    output.redraw(lines, drawn);
    drawn = lines.length;
  };
  return {
    changed(changes, at) {
      log.push(...changes.map((change) => ({ clock: clockText(at), text: changeText(change) })));
      log.splice(0, log.length - LOG_KEPT);
      draw();
    },
    show(matrix, status) {
      last = { matrix, status };
      draw();
    },
    end() {
      if (drawn > 0) output.write('\n');
    },
  };
}

/** `09:05:07`, in local time: as the watch of the person at the rack has it. */
export function clockText(date: Date): string {
  return [date.getHours(), date.getMinutes(), date.getSeconds()]
    .map((value) => String(value).padStart(2, '0'))
    .join(':');
}
