import type { Installation } from '../configuration/installation.ts';
import { identityRegion, type Region } from './layout.ts';
import type { StorageFault } from './stored-parts.ts';

/** The number of digits of the content digest in the identity. */
const DIGITS = 12;

/** What an image is recognised by, in ASCII: the revision and the first digits of the digest; undefined if it does not fit. */
export function identityOf(
  installation: Installation,
  digest: string,
): (Region & { readonly text: string }) | undefined {
  const { configuration, controller } = installation;
  const region = controller?.storage && identityRegion(controller.storage);
  if (!region || !configuration.revision || identityMisfit(installation)) return undefined;
  return { ...region, text: `${configuration.revision.text} ${digest.slice(0, DIGITS)}` };
}

/** Why an image cannot contain its identity. This needs no digest, because all digests have the same length. */
export function identityMisfit({ configuration, controller }: Installation): StorageFault | undefined {
  const region = controller?.storage && identityRegion(controller.storage);
  if (!region) return undefined;
  const { revision } = configuration;
  if (!revision) {
    const message = 'The identity in the controller needs the `revision` of this file, which is missing.';
    return { node: configuration.controller?.node ?? region.node, message };
  }
  const { node, text } = revision;
  if (!/^[ -~]*$/.test(text))
    return { node, message: `The identity in the controller is ASCII, which cannot spell \`${text}\`.` };
  const length = text.length + 1 + DIGITS;
  const space = region.end - region.start;
  if (length <= space) return undefined;
  const message = `The revision \`${text}\` makes an identity of ${length} characters; the controller stores ${space}.`;
  return { node, message };
}
