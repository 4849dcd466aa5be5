/** The part of the `ping` package (0.4) that knows each system's program and its arguments; the package ships no types for it. */
declare module 'ping/lib/builder/factory.js' {
  interface PingSettings {
    numeric?: boolean;
    /** Whole or fractional seconds for each echo; `false` leaves it out. */
    timeout?: number | false;
    deadline?: number | false;
    /** How many echoes. */
    min_reply?: number;
    v6?: boolean;
    packetSize?: number;
    extra?: string[];
  }

  interface ArgumentBuilder {
    getCommandArguments(target: string, settings: PingSettings): string[];
  }

  const factory: {
    isPlatformSupport(platform: string): boolean | undefined;
    isWindow(platform: string): boolean;
    isMacOS(platform: string): boolean;
    getExecutablePath(platform: string, v6: boolean): string;
    createBuilder(platform: string): ArgumentBuilder;
  };
  export default factory;
}
