"""What a few jobs say about a rate: a normal mean of unknown spread, by its conjugate prior.

Hours recorded / hours allowed are taken to be lognormal: their natural logs y are normal about a
mean, which is 0 where the rate is right. The prior of mean and variance is normal and scaled
inverse chi-squared with a weight of kappa0 jobs and nu0 degrees of freedom. With n jobs
of mean ybar and sum of squares S about it:

    kappa = kappa0 + n,   mu = (kappa0 mu0 + n ybar) / kappa,   nu = nu0 + n,
    nu s^2 = nu0 s0^2 + S + (kappa0 n / kappa) (ybar - mu0)^2;

the mean is then Student t with nu degrees of freedom about mu, of scale s / sqrt(kappa), and the
next job of scale s sqrt(1 + 1 / kappa). Source: Gelman et al., Bayesian Data Analysis, third
edition, section 3.3 (normal data with a conjugate prior distribution), from memory. Everything
takes arrays as well as single figures.
"""

import math

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray
from scipy import stats

from quotegen.model.own.learned import Spread
from quotegen.model.settings import DefaultedSettings

Floats = NDArray[np.float64]
STATED = 0.90
"""The share of firms whose true rate the stated interval holds."""
_FREEDOM_BESIDE = 6.0
"""Degrees of freedom of the prior of the spread beside its weight in jobs."""


class Prior(Struct, frozen=True):
    """What is believed of a log ratio before any job: mean, spread of jobs, weight in jobs."""

    mean: float
    sd: float
    weight: float

    @property
    def freedom(self) -> float:
        """The degrees of freedom of its spread."""
        return self.weight + _FREEDOM_BESIDE


class Posterior(Struct, frozen=True):
    """What is believed of a log ratio after some jobs: figures, or an array of each."""

    mean: Floats
    variance: Floats
    weight: Floats
    freedom: Floats

    def interval(self, share: float = STATED) -> tuple[Floats, Floats]:
        """The interval that holds the mean of all jobs with this probability, as logs."""
        reach = self._quantile(share) * np.sqrt(self.variance / self.weight)
        return self.mean - reach, self.mean + reach

    def next_job(self, share: float = STATED) -> tuple[Floats, Floats]:
        """The interval that holds the next job with this probability, as logs."""
        reach = self._quantile(share) * np.sqrt(self.variance * (1 + 1 / self.weight))
        return self.mean - reach, self.mean + reach

    @property
    def next_sd(self) -> Floats:
        """The standard deviation of the next job's log: that of its Student t."""
        inflated = self.variance * (1 + 1 / self.weight) * self.freedom / (self.freedom - 2)
        return np.asarray(np.sqrt(inflated))

    def _quantile(self, share: float) -> Floats:
        return np.asarray(stats.t.ppf((1 + share) / 2, self.freedom))


def house_prior(settings: DefaultedSettings, spread_pct: str = "default_spread_pct") -> Prior:
    """The prior of one of our rates: half over and half under, within the house spread."""
    sd = math.log1p(settings.number(spread_pct) / 100)
    return Prior(0.0, sd, settings.number("default_weight_jobs"))


def after_jobs(prior: Prior, jobs: Floats, mean: Floats, squares: Floats) -> Posterior:
    """The prior after `jobs` with logs of this mean and sum of squares about it.

    >>> one = after_jobs(Prior(0.0, 0.2, 2.0), np.array(2.0), np.array(0.3), np.array(0.02))
    >>> float(one.mean), float(one.weight), float(one.freedom), round(float(one.variance), 4)
    (0.15, 4.0, 10.0, 0.043)
    """
    weight = prior.weight + jobs
    freedom = prior.freedom + jobs
    apart = prior.weight * jobs / weight * (mean - prior.mean) ** 2
    return Posterior(
        mean=np.asarray((prior.weight * prior.mean + jobs * mean) / weight),
        variance=np.asarray((prior.freedom * prior.sd**2 + squares + apart) / freedom),
        weight=np.asarray(weight),
        freedom=np.asarray(freedom),
    )


def of_logs(prior: Prior, logs: Floats) -> Posterior:
    """The prior after jobs with these logs."""
    mean = logs.mean() if logs.size else prior.mean
    squares = ((logs - mean) ** 2).sum()
    return after_jobs(prior, np.array(float(logs.size)), np.asarray(mean), np.asarray(squares))


def spread_of(posterior: Posterior, jobs: int) -> Spread:
    """The spread of the next job, as a lognormal with the mean and variance of its log.

    The Student t itself has no mean once it is raised to a power of e.
    """
    return Spread(float(posterior.mean), float(posterior.next_sd), jobs)
