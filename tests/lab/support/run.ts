import { type ChildProcess, spawn } from 'node:child_process';

export interface Ran {
  readonly exitCode: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

export interface RunOptions {
  readonly env?: Record<string, string | undefined>;
  readonly timeoutMs?: number;
  readonly input?: string;
  readonly cwd?: string;
}

/** Runs a program to its end. Never rejects; a program that is absent ends with exitCode null and the reason in stderr. */
export function run(command: string, args: readonly string[], options: RunOptions = {}): Promise<Ran> {
  return new Promise((resolve) => {
    const child = spawn(command, [...args], {
      cwd: options.cwd,
      env: { ...process.env, LC_ALL: 'C.UTF-8', ...options.env },
      stdio: [options.input === undefined ? 'ignore' : 'pipe', 'pipe', 'pipe'],
    });
    let stdout = '';
    let stderr = '';
    const timer = setTimeout(() => child.kill('SIGKILL'), options.timeoutMs ?? 120_000);
    child.stdout?.on('data', (data) => {
      stdout += data;
    });
    child.stderr?.on('data', (data) => {
      stderr += data;
    });
    child.on('error', (error) => {
      clearTimeout(timer);
      resolve({ exitCode: null, stdout, stderr: stderr + error.message });
    });
    child.on('close', (exitCode) => {
      clearTimeout(timer);
      resolve({ exitCode, stdout, stderr });
    });
    if (options.input !== undefined) child.stdin?.end(options.input);
  });
}

/** Runs a program that must succeed. */
export async function must(
  command: string,
  args: readonly string[],
  options: RunOptions = {},
): Promise<string> {
  const ran = await run(command, args, options);
  if (ran.exitCode !== 0)
    throw new Error(`${command} ${args.join(' ')}: exit ${ran.exitCode}: ${ran.stderr || ran.stdout}`);
  return ran.stdout;
}

/** A program that goes on until it is stopped, with all that it started. */
export interface Running {
  readonly child: ChildProcess;
  output(): string;
  /** Resolves when the output so far matches; rejects after `timeoutMs` or when the program ends first. */
  waitFor(pattern: RegExp, timeoutMs?: number): Promise<void>;
  stop(): Promise<void>;
}

export function start(command: string, args: readonly string[], options: RunOptions = {}): Running {
  const child = spawn(command, [...args], {
    cwd: options.cwd,
    env: { ...process.env, LC_ALL: 'C.UTF-8', ...options.env },
    stdio: ['pipe', 'pipe', 'pipe'],
    detached: true,
  });
  let output = '';
  let ended = false;
  child.stdout?.on('data', (data) => {
    output += data;
  });
  child.stderr?.on('data', (data) => {
    output += data;
  });
  const closed = new Promise<void>((resolve) => {
    child.on('error', (error) => {
      output += error.message;
      ended = true;
      resolve();
    });
    child.on('close', () => {
      ended = true;
      resolve();
    });
  });
  return {
    child,
    output: () => output,
    async waitFor(pattern, timeoutMs = 10_000) {
      const until = Date.now() + timeoutMs;
      while (!pattern.test(output)) {
        if (ended || Date.now() > until)
          throw new Error(
            `${command}: ${ended ? 'ended' : 'waited in vain'} for ${pattern}: ${output.slice(-2000)}`,
          );
        await new Promise((resolve) => setTimeout(resolve, 20));
      }
    },
    async stop() {
      if (!ended && child.pid !== undefined) {
        try {
          process.kill(-child.pid, 'SIGKILL');
        } catch {
          // It ended in between.
        }
      }
      await closed;
    },
  };
}
