// The floor page.
export { Floor } from './Floor';
