"""
The words of headings that are known.

Everyday words of the trade for time, force, foot and unit in English, German, French, Spanish,
Italian and Portuguese, without accents and in small letters.
"""

from __future__ import annotations


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


TIME_UNITS = {
    "s": _words("""s sec secs second seconds sek sekunde sekunden seconde secondes seg segundo
        segundos secondi"""),
    "ms": _words("""ms msec msecs millisecond milliseconds millisekunden millisecondes milisegundos
        millisecondi"""),
    "us": _words("us µs μs usec microseconds"),
}
FORCE_UNITS = {
    "N": _words("n newton newtons"),
    "kN": _words("kn kilonewton kilonewtons"),
    "kgf": _words("kg kgf kp kgs kilogram kilograms kilopond kilogramm"),
    "lbf": _words("lb lbs lbf pound pounds"),
}
# Force divided by the body's weight or mass; not yet turned into force; no force at all.
OTHER_UNITS = {
    "relative": _words("bw xbw %bw bodyweight n/kg"),
    "raw": _words("v mv volt volts bit bits counts adc"),
    "other": _words("""m mm cm nm n.m n·m n*m nmm m/s m/s2 m/s² m/s^2 w j deg ° rad hz % ns n.s n/s
        mm/s w/kg"""),
}
UNIT_OF = {
    word: unit
    for table in (TIME_UNITS, FORCE_UNITS, OTHER_UNITS)
    for unit, words in table.items()
    for word in words
}

LEFT = _words("""left links linke linker linkes linken gauche izquierda izquierdo izq izda izdo
    sinistra sinistro sx esquerda esquerdo esq l lt""")
RIGHT = _words("""right rechts rechte rechter rechtes rechten droite droit derecha derecho der dcha
    dcho destra destro dx direita direito r rt""")
TIME = _words("time t zeit temps tiempo tempo timestamp timestamps elapsed")
FORCE = _words("""force forces kraft fuerza fuerzas forza forca grf vgrf load f weight gewicht poids
    peso fp""")
VERTICAL = _words("vertical vert vertikal vertikale verticale vertikalkraft vgrf fv")
TOTAL = _words("""total sum both combined gesamt summe somme suma totale soma bilateral gesamtkraft
    beide deux ambos net""")
COUNTERS = _words("""frame frames sample samples index idx no nr num number row nummer bild muestra
    muestras echantillon subframe counter item point count quadro campione""")
SHEAR = _words("""horizontal ap ml anterior posterior medial lateral shear mediolateral
    anteroposterior""")
OTHER = _words("""moment moments torque drehmoment cop copx copy copz ax ay az mx my mz tz acc
    acceleration accel beschleunigung velocity speed geschwindigkeit displacement position height
    power leistung work impulse impuls emg trigger sync event marker angle winkel rfd temperature
    mass resultant development distance phase pressure""")
