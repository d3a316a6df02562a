import { Chart, Filler, LinearScale, LineController, LineElement, PointElement } from 'chart.js';
import annotationPlugin from 'chartjs-plugin-annotation';

/**
 * To be imported by whatever makes a chart, before it does: a plugin that is registered while a chart is there fails in it, and
 * which of the places is opened first nobody knows.
 */
Chart.register(LinearScale, LineController, LineElement, PointElement, Filler, annotationPlugin);
