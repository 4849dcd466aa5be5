import { expect, it } from 'vitest';
import { deviceOf, parseCaptureDevices } from '../../../src/system/windows/capture-devices.js';
import { aSystem, fakePrograms, fakeShell, printed } from '../fakes.js';
import { osOutput } from '../os-output.js';

// The shape "NUMBER. NAME (DESCRIPTION)" is of dumpcap(1), option -D; the name with its GUID of public posts about that list.
const LIST = `1. \\Device\\NPF_{0A1B2C3D-0001-4000-8000-00005E005305} (Ethernet)
2. \\Device\\NPF_{0a1b2c3d-0002-4000-8000-00005e005306} (Prüfnetz (links))
3. \\Device\\NPF_{0A1B2C3D-0003-4000-8000-00005E005307}
4. \\Device\\NPF_Loopback (Adapter for loopback traffic capture)
`;

it('reads the list: device, GUID, name', () => {
  expect(parseCaptureDevices(LIST)).toMatchObject([
    { title: 'Ethernet' },
    { title: 'Prüfnetz (links)', guid: '0a1b2c3d-0002-4000-8000-00005e005306' },
    { title: '' },
  ]);
});

it('finds the device of a port by its GUID, else by its name', () => {
  const devices = parseCaptureDevices(LIST);
  expect(deviceOf(devices, 'ethernet', undefined)).toContain('0001');
  expect(deviceOf(devices, 'WLAN', '{0A1B2C3D-0003-4000-8000-00005E005307}')).toContain('0003');
  expect(deviceOf(devices, 'WLAN', undefined)).toBeUndefined();
});

it('hands the capture program the device, not the name that people see', async () => {
  const shell = fakeShell((line) =>
    line.includes('Get-NetAdapter') ? osOutput('ipaddr-windows-ports.json') : '',
  );
  const programs = fakePrograms({ dumpcap: printed(LIST) }, { 'powershell.exe': shell.start });
  const system = aSystem(programs, { platform: 'win32' });
  expect(await system.captureDevice('dumpcap', 'Ethernet')).toContain('-0001-');
  // No name in brackets: the adapter's GUID tells.
  expect(await system.captureDevice('dumpcap', 'Wi-Fi')).toContain('-0003-');
  expect(await system.captureDevice('dumpcap', 'Bluetooth')).toBeUndefined();
});

it('leaves it to the program itself to say that it is not installed', async () => {
  const system = aSystem(fakePrograms({}), { platform: 'win32' });
  expect(await system.captureDevice('dumpcap', 'Ethernet')).toBe('Ethernet');
});

it('is the name of the port itself elsewhere', async () => {
  expect(await aSystem(fakePrograms({})).captureDevice('tcpdump', 'eth0')).toBe('eth0');
});
