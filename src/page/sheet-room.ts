/** Who gets how much of sheet one, so that it stays one sheet on A4 and on Letter, whatever the site. */

/** Units are those of the screen at 96 to the inch. Letter is the lower of the two: 11 inches less the margins of look/print.ts. */
const SHEET = 930;
/** Title block, headings, legend, signatures and the air between them; without jobs there is less of it. */
const FIXED = 365;
const FIXED_WITHOUT_JOBS = 330;
const LINE = 18;
const ROW_AIR = 6;
const ROW_LINE = 13;
const CHARACTERS_OF_HEADLINE = 74;
const CHARACTERS_OF_SENTENCES = 125;
/** The sheet cuts what is longer. */
const MOST_LINES = 5;
const FEWEST_JOBS = 4;
const FEWEST_GROUPS = 3;
export const LOWEST_DRAWING = 150;
const MOSAIC = 260;
const MOST_JOBS = 16;
const MOST_GROUPS = 12;

export interface Wanted {
  readonly headline: string;
  readonly sentences: readonly string[];
  readonly jobs: number;
  /** Lines that the row of each group takes, in the order of the table. */
  readonly groups: readonly number[];
  /** Height that the drawing of lines would take; 0 where there is none and a mosaic stands for it. */
  readonly drawing: number;
}

export interface Room {
  readonly jobs: number;
  readonly groups: number;
  readonly drawing: number;
}

export function roomOf({ headline, sentences, jobs, groups, drawing }: Wanted): Room {
  const words =
    Math.min(MOST_LINES, Math.ceil(headline.length / CHARACTERS_OF_HEADLINE)) * 20 +
    Math.min(MOST_LINES, Math.ceil(sentences.join(' ').length / CHARACTERS_OF_SENTENCES)) * 15;
  const left = SHEET - (jobs === 0 ? FIXED_WITHOUT_JOBS : FIXED) - words;
  const leastGroups = rowsHeight(groups.slice(0, FEWEST_GROUPS));
  const leastLists = Math.min(jobs, FEWEST_JOBS) * LINE + leastGroups;
  const drawn = Math.max(LOWEST_DRAWING, Math.min(drawing === 0 ? MOSAIC : drawing, left - leastLists));
  // Jobs first: they are what is signed for. Groups take what is left.
  const forLists = left - drawn;
  const jobsShown = clamp(Math.floor((forLists - leastGroups) / LINE), FEWEST_JOBS, MOST_JOBS);
  const shown = Math.min(jobs, jobsShown);
  let groupsShown = Math.min(groups.length, MOST_GROUPS);
  while (groupsShown > FEWEST_GROUPS && rowsHeight(groups.slice(0, groupsShown)) > forLists - shown * LINE)
    groupsShown -= 1;
  return { jobs: shown, groups: groupsShown, drawing: drawn };
}

function rowsHeight(rows: readonly number[]): number {
  return rows.reduce((sum, lines) => sum + ROW_AIR + lines * ROW_LINE, 0);
}

function clamp(value: number, least: number, most: number): number {
  return Math.max(least, Math.min(most, value));
}
