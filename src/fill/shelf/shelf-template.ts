/** What `shelf init` writes: every key once, with invented figures that the person replaces. */
export const shelfTemplate = `# The shelf: your own materials, for plateful. Every figure below is invented.
# Replace it by the one on your data sheet, with the unit as the sheet writes it:
#   density   1.07 g/ml, 1070 kg/m3, SG 1.07, 8.9 lb/gal
#   mass      450 g, 2 lb, 16 oz, 1 kg
#   time      45 min, 4 h, 1 day; with a temperature: 45 min at 23 C, 40 min at 77 F
#   tear      17 N/mm, 17 kN/m, 100 ppi
# Check it with: plateful shelf check shelf.yaml

currency: EUR

silicones:
  - name: soft face silicone
    cures: platinum           # platinum or tin; tin is not for skin
    ratio: 1:1                # A to B
    ratio-by: weight          # weight or volume
    density-a: 1.08 g/ml
    density-b: 1.06 g/ml
    density: 1.07 g/ml        # of the mix, where the sheet states it
    pot-life: 45 min at 23 C
    pot-life-second: 20 min at 33 C   # optional: shows how warmth shortens it
    cure-time: 5 h at 23 C
    hardness: 10 Shore 00
    tear: 3.5 N/mm
    tear-method: ISO 34-1 method B    # figures of different methods do not compare
    elongation: 800 %
    shrinkage: 0.1 %          # linear
    packs:                    # A and B together
      - {holds: 1 kg, price: 48.00}
      - {holds: 5 kg, price: 205.00}
    lots:
      - {lot: demo-17, left-a: 640 g, left-b: 655 g, use-by: 2027-05-31}

softeners:
  - name: softener
    density: 0.97 g/ml
    packs:
      - {holds: 500 g, price: 19.00}
    lots:
      - {lot: demo-3, left: 310 g}

thinners: []                  # silicone thinners that stay or flash off: name, density, volatile

pigments:
  - name: flesh base
    density: 1.3 g/ml
    drop: 0.032 g             # weigh twenty drops and divide
  - name: blood red
    density: 1.4 g/ml
    drop: 0.035 g

flocks:
  - name: rose flock
    density: 1.5 g/ml

lacquers:                     # for the barrier film
  - name: barrier lacquer
    density: 0.86 g/ml
    solids-by-volume: 20 %
    solvent: acetone          # acetone, isopropanol, ethyl acetate or butanone
    packs:
      - {holds: 800 g, price: 31.00}

recipes:                      # what you mix; --material and plans take these names too
  - name: sea ghost flesh
    silicone: soft face silicone
    tint-into: B              # the part that takes the colour before A meets B
    add:
      - {what: softener, share: 20 %, of: A+B}       # of: A, B, A+B or total
      - {what: flesh base, share: 1.5 %, of: B}
      - {what: blood red, drops: 4, per: 100 g, of: B}
      - {what: rose flock, share: 0.4 %, of: B}

masters: []                   # one part tinted beforehand: {name: 'sea ghost flesh: B, tinted', left: 120 g}

assume: {}                    # your own habits in place of assumed ones: {scrape-film: 0.15 mm, mixing: 4 min}
`;
