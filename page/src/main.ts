// Starts the page.
import './styles/fonts.css';
import './styles/tokens.css';
import './styles/base.css';
import './styles/answer.css';
import './styles/drafts.css';
import './styles/listing.css';
import './styles/print.css';
import { mount } from 'svelte';
import App from './App.svelte';

const target = document.getElementById('page');
if (target) mount(App, { target });
