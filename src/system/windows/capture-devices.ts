/** `dumpcap -D` on Windows: which device of the packet driver is which port. Its manual: "1. NAME (DESCRIPTION)"; the shape of NAME from public bug reports. */

export interface CaptureDevice {
  /** `\Device\NPF_{GUID}` */
  readonly device: string;
  /** Lower case, without braces. */
  readonly guid: string;
  /** What stands in brackets: the name of the port, as Windows shows it. */
  readonly title: string;
}

const ROW = /^\s*\d+\.\s+(\S*NPF_\{([0-9a-f-]{36})\})(?:\s+\((.*)\))?\s*$/i;

export function parseCaptureDevices(text: string): CaptureDevice[] {
  return text.split(/\r?\n/).flatMap((line) => {
    const [, device, guid, title = ''] = ROW.exec(line) ?? [];
    return device === undefined || guid === undefined ? [] : [{ device, guid: guid.toLowerCase(), title }];
  });
}

/** By the adapter's GUID where that is known, which no language changes; else by the name in brackets. */
export function deviceOf(
  devices: readonly CaptureDevice[],
  port: string,
  guid: string | undefined,
): string | undefined {
  const bare = guid?.replace(/[{}]/g, '').toLowerCase();
  return (
    devices.find((each) => each.guid === bare) ??
    devices.find((each) => each.title.toLowerCase() === port.toLowerCase())
  )?.device;
}
