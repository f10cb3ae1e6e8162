import { testFamily } from '../family.ts';

testFamily('bus');
