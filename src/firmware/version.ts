/** The program's version, as it stands in what it hands on. */
export const programVersion = '0.1.0';
