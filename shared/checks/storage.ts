import type { Family } from './check.ts';
import {
  fieldPathUnknown,
  fieldScaleMisfit,
  fieldWithoutValue,
  valueWithoutField,
} from './storage-fields.ts';
import {
  checksumRangeWrong,
  fieldOutsideChecksum,
  fieldOutsideImage,
  fieldsOverlap,
  sizeNotWhole,
} from './storage-layout.ts';
import {
  checksumOrder,
  codesRepeated,
  identityMisfit,
  mapSetWithoutPlace,
  placeWithoutMapSet,
  sharedPlaceDiffers,
  wordWithoutCode,
} from './storage-meaning.ts';
import { mapLargerThanStorage, speedBeyondController } from './storage-size.ts';
import { breakpointsMergeInStorage, valueNotRepresentable, valueOverflowsStorage } from './storage-values.ts';

/** What the controller can store: its fields by themselves, and the engine's values in them. */
export const storage: Family = {
  id: 'storage',
  title: 'Storage',
  checks: [
    valueNotRepresentable,
    valueOverflowsStorage,
    breakpointsMergeInStorage,
    mapLargerThanStorage,
    speedBeyondController,
    fieldWithoutValue,
    valueWithoutField,
    fieldPathUnknown,
    fieldScaleMisfit,
    fieldsOverlap,
    fieldOutsideImage,
    sizeNotWhole,
    checksumRangeWrong,
    fieldOutsideChecksum,
    checksumOrder,
    identityMisfit,
    sharedPlaceDiffers,
    mapSetWithoutPlace,
    placeWithoutMapSet,
    wordWithoutCode,
    codesRepeated,
  ],
};
