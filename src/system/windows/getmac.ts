/** `getmac /v /fo csv /nh`: the ports of Windows without PowerShell. Only the fields' order is read, as the words in them are the user's. */
import { parseMac } from '../../plan/mac.js';

export interface GetmacRow {
  readonly name: string;
  readonly mac: string;
  /** The last field names the device of the transport where there is link, and says so in words where there is none. */
  readonly up: boolean;
  readonly guid?: string | undefined;
}

const FIELD = /"((?:[^"]|"")*)"/g;
const TRANSPORT = /^\\Device\\\w+_\{([0-9a-f-]{36})\}$/i;

/** Fields: connection name, adapter, MAC, transport (from memory). */
export function parseGetmac(text: string): GetmacRow[] {
  return text.split(/\r?\n/).flatMap((line) => {
    const [name, , macText = '', transport = ''] = [...line.matchAll(FIELD)].map(([, field = '']) =>
      field.replaceAll('""', '"').trim(),
    );
    const mac = parseMac(macText);
    if (name === undefined || mac === undefined) return [];
    const guid = TRANSPORT.exec(transport)?.[1]?.toLowerCase();
    return [{ name, mac, up: guid !== undefined, ...(guid === undefined ? {} : { guid }) }];
  });
}
