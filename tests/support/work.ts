/** Milliseconds that this process has computed so far: what a test that holds work against a limit reads, since a busy machine makes the clock on the wall run on. */
export function workMs(): number {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
}
