import { testFamily } from '../family.ts';

testFamily('ignition');
