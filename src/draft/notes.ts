/** What a draft has to say beside its findings, and the sentence for each. */
import { list } from '../text/sentence.js';

export type DraftNote =
  | { readonly kind: 'credential'; readonly item: string; readonly credential: string }
  | { readonly kind: 'no-block'; readonly item: string; readonly port: string; readonly network: string }
  /** The number that the previous list has could not be kept. */
  | {
      readonly kind: 'not-kept';
      readonly endpoint: string;
      readonly address: string;
      readonly why: 'outside-network' | 'given-twice';
    }
  /** It answered in the survey, and this device had it already. */
  | { readonly kind: 'kept-answers'; readonly endpoint: string; readonly address: string }
  /** The previous list has it, the equipment has not: nobody else gets it. */
  | { readonly kind: 'held'; readonly endpoint: string; readonly address: string }
  | {
      readonly kind: 'one-network';
      readonly item: string;
      readonly network: string;
      readonly ports: readonly string[];
    }
  | { readonly kind: 'one-switch'; readonly device: string; readonly role: string; readonly switch: string }
  | {
      readonly kind: 'no-switch-port';
      readonly switch: string;
      readonly ports: number;
      readonly without: readonly string[];
    };

export function noteText(note: DraftNote): string {
  switch (note.kind) {
    case 'credential':
      return `${note.item} is asked with the SNMP credential ${note.credential}: a credential stands in a plan under snmp, so write it there.`;
    case 'no-block':
      return `${note.item} ${note.port} gets no address: the network ${note.network} has no cidr.`;
    case 'not-kept':
      return `${note.endpoint} could not keep ${note.address}: ${note.why === 'given-twice' ? 'another port has it' : 'it is no address of its network'}.`;
    case 'kept-answers':
      return `${note.endpoint} keeps ${note.address}, which answered in the survey: see that this is the device itself.`;
    case 'held':
      return `${note.address} stays with ${note.endpoint}, which the previous list has and the equipment list has not. Take its row out of the previous list to free it.`;
    case 'one-network':
      return `${note.item}: all its ways to the data (${list(note.ports)}) are in ${note.network}. Put them into two networks, so that no single one ends them all.`;
    case 'one-switch':
      return `${note.device}: all its ${note.role} cables end at ${note.switch}. A second switch for them would outlive the first.`;
    case 'no-switch-port':
      return `${note.switch} has ${note.ports} ports for cables, and ${list(note.without)} found none free.`;
  }
}
