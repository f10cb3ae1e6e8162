export function findNeovim(): string | undefined;
export function installNeovim(): void;
