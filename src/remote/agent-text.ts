/**
 * The agent as one line: bundled, packed by Brotli, in base64. The build puts it in here (bin/bundle.js, packedAgent); the sources alone
 * have none, since nothing is bundled there.
 */
export function agentText(): string {
  throw new Error('the agent is not built: run "npm run build"');
}
