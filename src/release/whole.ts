/** All of the program, as the one file carries it: read by the system's Node only where a command or a part is asked for. */
export { main } from '../cli/main.js';
export { startPart } from './parts.js';
