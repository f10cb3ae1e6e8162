import { controllerSchema, engineSchema, runSchema } from '../../generated/schemas.ts';
import type { FileKind } from './project.ts';
import { type Shape, shapeOf } from './shape.ts';

export const engineShape: Shape = shapeOf(engineSchema);
export const controllerShape: Shape = shapeOf(controllerSchema);

export const runShape: Shape = shapeOf(runSchema);

const shapes: Readonly<Record<FileKind, Shape>> = {
  engine: engineShape,
  controller: controllerShape,
  run: runShape,
};

export const rootShape = (kind: FileKind): Shape => shapes[kind];
