/** What the user can do so that a hidden second box would be seen, on this system. */
export function duplicateMend(platform: string): string {
  if (platform === 'darwin') return 'Run it with sudo: tcpdump, which macOS has, then shows every answer';
  if (platform === 'win32')
    return 'Install a capture program (dumpcap with its packet driver) and open the console as administrator: then every answer is shown';
  return 'Install tcpdump and run it with sudo (or install arping, which on many systems needs no more rights): then every answer is shown';
}
