/** What can be tried while the embedded site stays up. */
import { commandWord } from '../text/command-word.js';

export interface DemoCommand {
  /** As it would be typed, without the program's own name. */
  readonly line: string;
  readonly what: string;
}

/**
 * `folder`: where the plan and the run are. `reachable`: other programs of this laptop can reach the site; where every address had to
 * stand on 127.0.0.1 they cannot, and what needs the site is left out.
 */
export function commandsToTry(folder: string, reachable: boolean): DemoCommand[] {
  const place = (name: string): string => commandWord(folder === '' ? name : `${folder}/${name}`, 'FILE');
  const run = commandWord(folder === '' ? '.' : folder, 'DIR');
  const plan = place('plan.yaml');
  const onSite: DemoCommand[] = [
    { line: `follow ${plan}`, what: 'the matrix, live' },
    { line: `check ${plan} --out ${place('again')}`, what: 'the main job once more' },
    { line: `survey ${plan} --out ${place('before')}`, what: 'who answers on planned and default addresses' },
    {
      line: `drill ${plan}`,
      what: 'the guided pull test (nothing can be pulled here; end a step as it says)',
    },
  ];
  return [
    ...(reachable ? onSite : []),
    { line: `attest ${run}`, what: 'what only eyes can prove' },
    { line: `report ${run} --as csv`, what: 'the matrix for a spreadsheet' },
    { line: `explain`, what: 'what the findings mean' },
    { line: `seal ${run} --new-key demo-key`, what: 'digests of every file, signed' },
    { line: `verify ${run} --key demo-key.public`, what: 'is it whole, and yours?' },
  ];
}
