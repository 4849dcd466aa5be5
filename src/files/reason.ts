/** The system's word for why a file could not be read or written, in words. */
export function reasonOf(error: unknown): string {
  const code = (error as NodeJS.ErrnoException).code;
  switch (code) {
    case 'ENOENT':
      return 'it does not exist';
    case 'EACCES':
    case 'EPERM':
      return 'permission denied';
    case 'EISDIR':
      return 'it is a folder';
    case 'ENOTDIR':
    case 'EEXIST':
      return 'a file is in the way';
    case 'ENAMETOOLONG':
      return 'the name is too long';
    case 'ENOSPC':
    case 'EDQUOT':
      return 'the disk is full';
    case 'EFBIG':
      return 'it is larger than a file may be here';
    case 'EROFS':
      return 'it is read-only';
    case 'EBUSY':
      return 'another program holds it open';
    case 'EMFILE':
    case 'ENFILE':
      return 'too many files are open';
    case 'EIO':
      return 'the disk does not answer';
    default:
      return error instanceof Error ? error.message : String(error);
  }
}

/** The same where something was to be written: what is not there then is what it should lie in. */
export function whyNotWritten(error: unknown): string {
  return (error as NodeJS.ErrnoException).code === 'ENOENT'
    ? 'the folder or the drive that it should lie in is not there'
    : reasonOf(error);
}
