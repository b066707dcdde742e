// Entry point: styles first, then the root component.
import './styles/fonts.css';
import './styles/base.css';
import { mount } from 'svelte';
import App from './App.svelte';

const target = document.getElementById('page');
if (target === null) throw new Error('index.html: expected an element with id "page".');

export default mount(App, { target });
