// Finds Neovim, in which the language server is tested besides VS Code.
import { installPackage, onSearchPath } from './programs.mjs';

/**
 * The path of Neovim; undefined without one, and then its test is skipped.
 * @returns {string | undefined}
 */
export function findNeovim() {
  return onSearchPath(['nvim']);
}

/** Installs Neovim if it is missing and apt-get is allowed; without it, one test is skipped. */
export function installNeovim() {
  if (findNeovim() !== undefined) return;
  const why = 'Installing Neovim (about 30 MB) with apt-get: the language server is tried in it.';
  try {
    if (!installPackage('neovim', why)) console.log('Neovim is not here, so the test in it is skipped.');
  } catch (error) {
    console.log(`Neovim could not be installed, so the test in it is skipped: ${error.message}`);
  }
}
