export function freshProgram<Exports>(entry: string): Promise<() => Exports>;
