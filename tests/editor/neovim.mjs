// Finds Neovim, in which the language server is tried beside VS Code.
import { installPackage, onSearchPath } from './programs.mjs';

/**
 * The path of Neovim, undefined where there is none: its test is skipped then.
 * @returns {string | undefined}
 */
export function findNeovim() {
  return onSearchPath(['nvim']);
}

/** Installs Neovim where it is missing and apt-get may be used; a machine without it loses one test. */
export function installNeovim() {
  if (findNeovim() !== undefined) return;
  const why = 'Installing Neovim (about 30 MB) with apt-get: the language server is tried in it.';
  try {
    if (!installPackage('neovim', why)) console.log('Neovim is not here, so the test in it is skipped.');
  } catch (error) {
    console.log(`Neovim could not be installed, so the test in it is skipped: ${error.message}`);
  }
}
