import { linuxSystem } from './linux/linux.js';
import { macosSystem } from './macos/macos.js';
import type { System, SystemDeps } from './types.js';
import { windowsSystem } from './windows/windows.js';

const SYSTEMS: Readonly<Record<string, (deps: SystemDeps) => System>> = {
  linux: linuxSystem,
  darwin: macosSystem,
  win32: windowsSystem,
};

/** The system of this platform. What is none of the three is taken for Linux: its programs are asked, and tell that they are absent. */
export function openSystem(deps: SystemDeps): System {
  return (SYSTEMS[deps.platform] ?? linuxSystem)(deps);
}
